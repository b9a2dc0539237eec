import { useLocation, useNavigate, useRouter } from '@tanstack/react-router';
import { useState } from 'react';
import type { Question } from './draft.js';

declare module '@tanstack/react-router' {
  interface HistoryState {
    /** Which screen of the report; a bare number, since the browser may write its history to disk. */
    readonly reportStep?: number;
  }
}

/** Where somebody stands in the report. */
export type Stand =
  | { readonly at: 'start' }
  | { readonly at: 'question'; readonly question: Question; readonly backToReview: boolean }
  | { readonly at: 'review' }
  | { readonly at: 'sent' };

export const START: Stand = { at: 'start' };

/** The screens that were passed, so that the browser's own way back goes one screen back. Kept in memory only. */
export function useTrail() {
  const navigate = useNavigate();
  const router = useRouter();
  const step = useLocation({ select: ({ state }) => state.reportStep ?? 0 });
  const [trail, setTrail] = useState<readonly Stand[]>([START]);
  const here = step < trail.length ? step : 0;
  return {
    stand: trail[here] ?? START,
    go: (next: Stand) => {
      setTrail([...trail.slice(0, here + 1), next]);
      void navigate({ to: '/report', state: { reportStep: here + 1 } });
    },
    back: () => router.history.back(),
    restart: (...stands: readonly Stand[]) => {
      setTrail([START, ...stands]);
      void navigate({ to: '/report', state: { reportStep: stands.length }, replace: true });
    },
  };
}
