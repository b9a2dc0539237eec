import { useEffect, useRef, type ReactNode } from 'react';

/** The heading of a page or question: names the browser's tab, and takes the focus so that it is read out on arrival. */
export function PageHeading({ title, children }: { title: string; children?: ReactNode }) {
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    heading.current?.focus({ preventScroll: true });
    window.scrollTo(0, 0);
  }, [title]);
  return (
    <>
      <title>{`${title} – Innerglove`}</title>
      <h1 ref={heading} tabIndex={-1}>
        {children ?? title}
      </h1>
    </>
  );
}
