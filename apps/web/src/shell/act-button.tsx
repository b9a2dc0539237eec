import type { ReactNode } from 'react';
import { Button } from 'react-aria-components/Button';

/**
 * A button for an act that takes a moment. While it is busy it keeps the focus and its words, and a second press does
 * nothing; the outcome is announced by the page, where it stands.
 */
export function ActButton({
  children,
  isBusy = false,
  isDisabled = false,
  isSecond = false,
  type = 'button',
  onPress,
}: {
  children: ReactNode;
  isBusy?: boolean;
  isDisabled?: boolean;
  /** Offered beside the act that is meant. */
  isSecond?: boolean;
  type?: 'button' | 'submit';
  onPress?: () => void;
}) {
  return (
    <Button
      className={isSecond ? 'act act-second' : 'act'}
      type={isBusy ? 'button' : type}
      isDisabled={isDisabled}
      aria-disabled={isBusy || undefined}
      onPress={isBusy ? undefined : onPress}
    >
      {children}
    </Button>
  );
}
