import {
  addDays,
  compareInstants,
  ContradictoryFacts,
  localDateOf,
  requireInstant,
  requireTimeZone,
  startOfDay,
  type Breach,
  type Instant,
  type Seen,
  type Zone,
} from '#domain';
import type { IncidentContent, OccurredInterval } from '../records/incident.js';
import { NeedsConfirmation, UnacceptableEntry } from '../refusals.js';
import type { ReportedContent } from './reported-content.js';

/** Clocks of bedside tablets are rarely right to the minute; further ahead is a wrong date or hour. */
const CLOCK_TOLERANCE_MILLISECONDS = 2 * 60_000;
/** Older is possible, but as likely a mistyped year: it is asked again. */
const PLAUSIBLE_AGE_DAYS = 365;

/** The agent of a report that names none. */
export const UNNAMED_AGENT = 'unidentified-vhf';

function requirePast(instant: Instant, now: Instant, pointer: string): Instant {
  const read = requireInstant(instant, pointer);
  if (Date.parse(read) - Date.parse(now) > CLOCK_TOLERANCE_MILLISECONDS) {
    throw new UnacceptableEntry('This lies in the future.', { pointer, accepted: `a moment not after ${now}` });
  }
  return read;
}

function readOccurred({ from, until, timeZone }: ReportedContent['occurred'], now: Instant): OccurredInterval {
  const zone = requireTimeZone(timeZone, '/occurred/timeZone');
  const earliest = requirePast(from, now, '/occurred/from');
  const latest = until === undefined || until === null ? earliest : requirePast(until, now, '/occurred/until');
  if (compareInstants(latest, earliest) < 0) {
    throw new ContradictoryFacts('The interval ends before it begins.', {
      pointer: '/occurred/until',
      accepted: 'a moment not before the first one; or leave it out when the moment is known',
    });
  }
  return { from: earliest, until: latest, timeZone: zone };
}

const NO_ZONES: readonly Zone[] = [];

function readSeen(seen: ReportedContent['seen']): Seen {
  return {
    skinWet: seen?.skinWet ?? 'unknown',
    skinCut: seen?.skinCut ?? 'unknown',
    zones: seen?.zones ?? NO_ZONES,
    eyeSplash: seen?.eyeSplash ?? 'unknown',
    mouthNoseSplash: seen?.mouthNoseSplash ?? 'unknown',
    sharpsInjury: seen?.sharpsInjury ?? 'unknown',
    brokenSkinBefore: seen?.brokenSkinBefore ?? 'unknown',
  };
}

function isAnswered(answer: unknown): boolean {
  return answer !== undefined && answer !== null && answer !== 'unknown';
}

/** What a report may not say at once, as far as it can be seen without the ensemble. */
function requireNoContradiction(content: IncidentContent): void {
  const { kind, breaches, seen, stage, facts } = content;
  const total = breaches.findIndex(({ extent }) => extent === 'total');
  // A layer that fails while it is put on, before any patient, is what a near miss looks like.
  if (kind === 'near-miss' && total >= 0 && stage !== 'donning') {
    throw new ContradictoryFacts('A near miss was caught before any exposure, but a layer is reported as open.', {
      pointer: '/kind',
      accepted: `"breach"; or an extent other than "total" at /breaches/${total}/extent`,
    });
  }
  if (kind === 'lapse' && breaches.length > 0) {
    throw new ContradictoryFacts('A lapse without a breach is reported together with a breached layer.', {
      pointer: '/kind',
      accepted: '"breach", which may have lapses too; or no layer among the breaches',
    });
  }
  if (kind === 'near-miss') {
    const felt = (['skinWet', 'skinCut', 'eyeSplash', 'mouthNoseSplash', 'sharpsInjury'] as const).find(
      (answer) => seen[answer] === 'yes',
    );
    if (felt) {
      throw new ContradictoryFacts('A near miss was caught before any exposure, but something reached the body.', {
        pointer: `/seen/${felt}`,
        accepted: '"no" or "unknown"; or the kind "breach"',
      });
    }
  }
  if (facts['ppeBreach'] === 'no' && (breaches.length > 0 || kind !== 'near-miss')) {
    throw new ContradictoryFacts('It is said that nothing failed, and a breach or lapse is reported.', {
      pointer: '/facts/ppeBreach',
      accepted: '"yes", or leave it out: it follows from the breaches and lapses',
    });
  }
}

export interface ContentReading {
  readonly now: Instant;
  readonly agents: readonly string[];
  /** Whether an earlier telling of the same moment was confirmed as implausible: then its age is not judged again. */
  readonly ageJudged?: boolean;
}

/**
 * The coded answers as they are kept: what is absent becomes unknown. Refuses what cannot be, and asks again for what is
 * older than a year. Layers, steps and the facts' own answers are judged by the barrier and the decision.
 */
export function readContent(told: ReportedContent, { now, agents, ageJudged }: ContentReading): IncidentContent {
  const occurred = readOccurred(told.occurred, now);
  const agent = told.agent ?? UNNAMED_AGENT;
  if (!agents.includes(agent)) {
    throw new UnacceptableEntry('The rulebook has no such agent.', {
      pointer: '/agent',
      accepted: `one of: ${agents.join(', ')}`,
    });
  }
  const leftAreaAt = told.leftAreaAt ? requirePast(told.leftAreaAt, now, '/leftAreaAt') : null;
  if (leftAreaAt !== null && compareInstants(leftAreaAt, occurred.from) < 0) {
    throw new ContradictoryFacts('The area was left before it happened.', {
      pointer: '/leftAreaAt',
      accepted: 'a moment not before the event; or leave it out when it is not known',
    });
  }
  const oldest = startOfDay(addDays(localDateOf(now, occurred.timeZone), -PLAUSIBLE_AGE_DAYS), occurred.timeZone);
  const implausible = ageJudged ?? compareInstants(occurred.from, oldest) < 0;
  if (ageJudged === undefined && implausible && told.confirmed !== true) {
    throw new NeedsConfirmation('This happened more than a year ago.', '/occurred/from');
  }
  const content: IncidentContent = {
    kind: told.kind,
    occurred,
    leftAreaAt,
    stage: told.stage,
    step: told.step ?? null,
    breaches: (told.breaches ?? []).map(({ layer, extent, manner }): Breach => ({
      layer,
      extent: extent ?? 'unknown',
      manner: manner ?? 'unknown',
    })),
    lapses: told.lapses ?? [],
    foundWhole: told.foundWhole ?? [],
    task: told.task ?? 'not-known',
    fluid: told.fluid ?? 'unknown',
    seen: readSeen(told.seen),
    firstAid: (told.firstAid ?? []).map(({ action, at }, index) => ({
      action,
      at: at ? requirePast(at, now, `/firstAid/${index}/at`) : null,
    })),
    anyoneElse: told.anyoneElse ?? 'unknown',
    agent,
    certainty: told.certainty ?? 'unknown',
    callMe: told.callMe,
    facts: Object.fromEntries(
      Object.entries(told.facts ?? {}).flatMap(([fact, answer]) =>
        isAnswered(answer) ? [[fact, answer as Exclude<typeof answer, null | undefined>]] : [],
      ),
    ),
    confirmedImplausible: implausible,
  };
  requireNoContradiction(content);
  return content;
}
