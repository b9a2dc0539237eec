import { useMutation, useQueryClient } from '@tanstack/react-query';
import { useRef } from 'react';
import { newIdempotencyKey } from '../api.js';

/**
 * One act on the service. What it changed is read anew afterwards, also when it was refused as out of date, so that the
 * next try stands on what is true now; the form keeps what was typed.
 */
export function useAct<Input, Answer>(
  act: (input: Input, key: string) => Promise<Answer>,
  { changes, onDone }: { changes: readonly (readonly unknown[])[]; onDone?: (answer: Answer) => void },
) {
  const client = useQueryClient();
  const sent = useRef<{ readonly body: string | undefined; readonly key: string } | null>(null);
  return useMutation({
    mutationFn: (input: Input) => {
      // The same input again is a repeat and carries the same key; another input is another act.
      const body = JSON.stringify(input) as string | undefined;
      if (!sent.current || sent.current.body !== body) sent.current = { body, key: newIdempotencyKey() };
      return act(input, sent.current.key);
    },
    onSuccess: (answer) => {
      sent.current = null;
      onDone?.(answer);
    },
    onSettled: () => Promise.all(changes.map((queryKey) => client.invalidateQueries({ queryKey }))),
  });
}
