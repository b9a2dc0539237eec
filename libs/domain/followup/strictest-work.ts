import { PERMITTED_WORK, type PermittedWork } from './profile.js';

/** What work several restrictions leave: the strictest holds, and none leaves all. */
export function strictestWork(restrictions: readonly { readonly work: PermittedWork }[]): PermittedWork {
  return restrictions.reduce<PermittedWork>(
    (strictest, { work }) => (PERMITTED_WORK.indexOf(work) > PERMITTED_WORK.indexOf(strictest) ? work : strictest),
    'all',
  );
}
