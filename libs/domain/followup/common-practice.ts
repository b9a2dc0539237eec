import type { Evidence } from '../decision/evidence.js';

/** What the trade does without a source that we could read. */
export const COMMON_PRACTICE: Evidence = {
  grade: 'remembered',
  sources: [{ body: 'Common practice', title: 'No published source', year: 'undated' }],
};
