import { DomainError } from '#domain';

/** Where a page ended; opaque to the caller, and useless outside the caller's own site. */
export interface QueuePlace {
  readonly urgency: number;
  readonly reportedAt: string;
  readonly incidentId: string;
}

export function writeCursor({ urgency, reportedAt, incidentId }: QueuePlace): string {
  return Buffer.from(JSON.stringify([urgency, reportedAt, incidentId])).toString('base64url');
}

export function readCursor(cursor: string): QueuePlace {
  try {
    const [urgency, reportedAt, incidentId] = JSON.parse(Buffer.from(cursor, 'base64url').toString()) as unknown[];
    if (
      Number.isInteger(urgency) &&
      typeof reportedAt === 'string' &&
      !Number.isNaN(Date.parse(reportedAt)) &&
      typeof incidentId === 'string' &&
      /^[0-9a-f-]{36}$/.test(incidentId)
    ) {
      return { urgency: urgency as number, reportedAt, incidentId };
    }
  } catch {
    // Falls through to the one refusal.
  }
  throw new DomainError('unacceptable-answer', 'The cursor is not one of ours.', {
    pointer: '/cursor',
    accepted: 'the nextCursor of the page before, or none',
  });
}
