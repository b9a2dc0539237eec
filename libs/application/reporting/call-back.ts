import type { Assessment } from '#domain';
import { needsDecision } from '../followup/duty.js';
import type { IncidentContent } from '../records/incident.js';

/** Why somebody in occupational health has to call, in plain sentences; none when nobody has to. */
export function callBackReasons({ kind, callMe }: IncidentContent, result: Assessment): readonly string[] {
  const asks = callMe ? ['The reporter asks to be called.'] : [];
  if (kind === 'near-miss' || !needsDecision(result)) return asks;
  return [
    ...asks,
    result.settled
      ? 'The assessment is above level 0 and waits for a determination.'
      : 'The assessment is still open: questions have to be asked.',
  ];
}
