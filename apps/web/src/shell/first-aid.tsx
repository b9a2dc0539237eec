import { useEffect, useState } from 'react';
import { Button } from 'react-aria-components/Button';
import type { FirstAidStep } from '../api.js';

type Step = Pick<FirstAidStep, 'code' | 'words' | 'minutes'>;

/** What to do on the body before anything else; only rinsing is timed, nothing else is hurried by a clock. */
export function FirstAidList({ steps }: { steps: readonly Step[] }) {
  if (steps.length === 0) {
    return (
      <p>The first aid steps of this site are not on this device yet. Wash or rinse what was touched, and telephone.</p>
    );
  }
  return (
    <ol className="first-aid">
      {steps.map(({ code, words, minutes }) => (
        <li key={code}>
          {words}
          {minutes !== null && <RinseTimer minutes={minutes} />}
        </li>
      ))}
    </ol>
  );
}

function RinseTimer({ minutes }: { minutes: number }) {
  const [endsAt, setEndsAt] = useState<number | null>(null);
  const [left, setLeft] = useState(minutes * 60);
  useEffect(() => {
    if (endsAt === null) return;
    const timer = setInterval(() => setLeft(Math.max(0, Math.ceil((endsAt - Date.now()) / 1000))), 250);
    return () => clearInterval(timer);
  }, [endsAt]);
  if (endsAt === null) {
    return (
      <Button
        className="rinse-timer"
        onPress={() => {
          setLeft(minutes * 60);
          setEndsAt(Date.now() + minutes * 60_000);
        }}
      >
        Time the rinsing: {minutes} minutes
      </Button>
    );
  }
  return (
    <p className="rinse-timer" role="timer" aria-live={left === 0 ? 'assertive' : 'off'}>
      {left === 0
        ? `${minutes} minutes have passed. Stop rinsing and look.`
        : `Keep rinsing: ${Math.floor(left / 60)} min ${String(left % 60).padStart(2, '0')} s left`}
    </p>
  );
}
