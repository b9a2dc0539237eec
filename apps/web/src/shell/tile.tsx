import type { ReactNode } from 'react';
import { Button } from 'react-aria-components/Button';
import { ToggleButton } from 'react-aria-components/ToggleButton';

/** One answer to a question that takes one answer: touching it answers and goes on. */
export function AnswerTile({
  children,
  note,
  isChosen,
  onPress,
}: {
  children: ReactNode;
  note?: ReactNode;
  isChosen: boolean;
  onPress: () => void;
}) {
  return (
    <Button className="tile" aria-pressed={isChosen} onPress={onPress}>
      <span className="tile-words">{children}</span>
      {note && <span className="tile-note">{note}</span>}
    </Button>
  );
}

/** One of several answers that can hold together. */
export function TickTile({
  children,
  note,
  isChosen,
  onChange,
  onHoverChange,
}: {
  children: ReactNode;
  note?: ReactNode;
  isChosen: boolean;
  onChange: (isChosen: boolean) => void;
  onHoverChange?: (isHovered: boolean) => void;
}) {
  return (
    <ToggleButton className="tile tile-tick" isSelected={isChosen} onChange={onChange} onHoverChange={onHoverChange}>
      <span className="tile-words">{children}</span>
      {note && <span className="tile-note">{note}</span>}
    </ToggleButton>
  );
}
