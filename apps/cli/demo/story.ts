import {
  addDays,
  addHours,
  startOfDay,
  type Breach,
  type Instant,
  type LocalDate,
  type Seen,
  type Zone,
} from '#domain';
import type { Certainty, Lapse, PpeUseRecord, ReportedContent, Task } from '#application';
import { Chance } from './chance.js';
import { HOSPITAL, UNITS, type DemoPerson, type UnitName } from './hospital.js';
import { ASSUMED, LAYER_WEIGHTS, PUBLISHED, STEP_WEIGHTS, TASK_WEIGHTS } from './published-rates.js';

/** What is known of a source from a day on, counted back from today. */
export interface SourceStatusAt {
  readonly daysAgo: number;
  readonly status: 'suspected' | 'confirmed' | 'ruled-out';
  readonly agent: string;
}

/** A patient under a pseudonym, and where people in protective clothing came near them. */
export interface Episode {
  readonly pseudonym: string;
  readonly units: readonly UnitName[];
  readonly fromDaysAgo: number;
  readonly untilDaysAgo: number;
  readonly usesADay: number;
  readonly statuses: readonly SourceStatusAt[];
}

const [ISOLATION, EMERGENCY, INTENSIVE, INFECTIOUS, MATERNITY, LABORATORY] = UNITS;

const confirmed = (agent: string, daysAgo: number): SourceStatusAt => ({ daysAgo, status: 'confirmed', agent });
const suspected = (agent: string, daysAgo: number): SourceStatusAt => ({ daysAgo, status: 'suspected', agent });

/** The day on which the newest source was identified: late enough that follow-ups were running by then. */
export const IDENTIFIED_DAYS_AGO = 2;
export const RUNNING_SOURCE = 'Larch-01';

export const EPISODES: readonly Episode[] = [
  episode('Alder-01', [INFECTIOUS, INTENSIVE], 118, 96, 11, [confirmed('sars-cov-2', 118)]),
  episode('Birch-01', [INFECTIOUS], 110, 93, 8, [confirmed('mpox', 110)]),
  episode('Cedar-01', [EMERGENCY, INTENSIVE], 99, 90, 12, [suspected('mers', 99)]),
  episode('Dogwood-01', [ISOLATION, LABORATORY], 84, 58, 16, [confirmed('lassa', 84)]),
  episode('Elder-01', [MATERNITY], 70, 52, 8, [confirmed('mpox', 70)]),
  episode('Fir-01', [INTENSIVE, INFECTIOUS], 60, 31, 11, [confirmed('sars-cov-2', 60)]),
  episode('Hazel-01', [ISOLATION, EMERGENCY, LABORATORY], 34, 12, 18, [confirmed('ebola', 34)]),
  episode('Juniper-01', [INFECTIOUS], 28, 6, 9, [confirmed('sars-cov-2', 28)]),
  episode('Maple-01', [MATERNITY, INFECTIOUS], 15, 0, 9, [confirmed('mpox', 15)]),
  episode(RUNNING_SOURCE, [ISOLATION, INTENSIVE], 10, 0, 16, [
    suspected('unidentified-vhf', 10),
    confirmed('marburg', IDENTIFIED_DAYS_AGO),
  ]),
];

function episode(
  pseudonym: string,
  units: readonly UnitName[],
  fromDaysAgo: number,
  untilDaysAgo: number,
  usesADay: number,
  statuses: readonly SourceStatusAt[],
): Episode {
  return { pseudonym, units, fromDaysAgo, untilDaysAgo, usesADay, statuses };
}

/** How far a case has come by now; the course of a case that is not running is played to its end. */
export type Standing =
  | 'to-its-end'
  /** Reported a moment ago: the call-back waits. */
  | 'call-back-open'
  /** Somebody took the call-back; answers are still missing. */
  | 'unsettled'
  | 'waits-for-signature'
  | 'departed-below'
  | 'fever-open';

export interface DemoCase {
  /** Seeds everything that chance decides about its course. */
  readonly key: string;
  /** Cases of one event have the same. */
  readonly event: string;
  /** Index into the people. */
  readonly person: number;
  readonly unit: UnitName;
  readonly reportedAt: Instant;
  readonly enteredBy: 'wearer' | 'nurse';
  readonly source: string | null;
  readonly content: ReportedContent;
  readonly account: string | null;
  readonly buddy: string | null;
  readonly standing: Standing;
}

export interface Story {
  readonly today: LocalDate;
  readonly cases: readonly DemoCase[];
  readonly uses: readonly (Omit<PpeUseRecord, 'unitId' | 'ensembleId'> & { readonly unit: UnitName })[];
}

const DAYS = 118;
/** Those whose cases are told below, and those who sign in, are left out of the history. */
const FIRST_OF_THE_HISTORY = 17;
const zone = HOSPITAL.timeZone;

/** Four months up to `now`, by chance but the same for the same seed and the same moment. */
export function tellStory(seed: string, now: Instant, today: LocalDate, people: readonly DemoPerson[]): Story {
  const chance = new Chance(`${seed}/story`);
  const uses: Story['uses'][number][] = [];
  const cases: DemoCase[] = [];
  const free = new Map<number, LocalDate>();
  for (let daysAgo = DAYS; daysAgo >= 1; daysAgo -= 1) {
    const localDate = addDays(today, -daysAgo);
    const running = EPISODES.filter((one) => one.fromDaysAgo >= daysAgo && one.untilDaysAgo <= daysAgo);
    for (const unit of UNITS) {
      const here = running.filter(({ units }) => units.includes(unit));
      const mean = here.reduce((sum, one) => sum + one.usesADay / one.units.length, 1.5);
      const count = chance.count(mean);
      if (count > 0) uses.push({ unit, localDate, uses: count });
      const events = chance.count(count * PUBLISHED.severalRemovalErrors * ASSUMED.reportedOfErrors);
      for (let event = 0; event < events; event += 1) {
        const key = `${seed}/${localDate}/${unit}/${event}`;
        const source = here.length > 0 ? chance.oneOf(here) : null;
        const wearers = chance.happens(ASSUMED.twoPeople) ? 2 : 1;
        cases.push(...eventOf(key, { unit, localDate, daysAgo, source, wearers, people, free }));
      }
    }
  }
  cases.push(...runningCases(seed, now, today, people));
  cases.sort((a, b) => (a.reportedAt < b.reportedAt ? -1 : 1));
  return { today, cases, uses };
}

interface EventPlace {
  readonly unit: UnitName;
  readonly localDate: LocalDate;
  readonly daysAgo: number;
  readonly source: Episode | null;
  readonly wearers: number;
  readonly people: readonly DemoPerson[];
  /** From which day on somebody may be exposed again: one running follow-up each is enough for a story. */
  readonly free: Map<number, LocalDate>;
}

function eventOf(key: string, place: EventPlace): DemoCase[] {
  const chance = new Chance(key);
  const occurred = at(place.localDate, chance.between(7 * 60, 22 * 60));
  const told: DemoCase[] = [];
  for (let wearer = 0; wearer < place.wearers; wearer += 1) {
    const person = someoneFree(chance, place);
    if (person === null) continue;
    place.free.set(person, addDays(place.localDate, 25));
    const { content, account } = contentOf(chance, occurred, place.source, place.daysAgo);
    told.push({
      key: `${key}/${wearer}`,
      event: key,
      person,
      unit: place.unit,
      reportedAt: addHours(occurred, chance.between(20, 110) / 60),
      enteredBy: chance.happens(0.7) ? 'wearer' : 'nurse',
      source: place.source?.pseudonym ?? null,
      content,
      account,
      buddy: buddyOf(chance, place.people),
      standing: 'to-its-end',
    });
  }
  return told;
}

function someoneFree(chance: Chance, { unit, localDate, people, free }: EventPlace): number | null {
  const there = people
    .map((person, index) => ({ person, index }))
    .filter(({ person, index }) => index >= FIRST_OF_THE_HISTORY && person.unit === unit)
    .filter(({ index }) => (free.get(index) ?? '') <= localDate);
  return there.length === 0 ? null : chance.oneOf(there).index;
}

function buddyOf(chance: Chance, people: readonly DemoPerson[]): string | null {
  return chance.happens(0.9) ? (people[chance.between(FIRST_OF_THE_HISTORY, people.length - 1)]?.name ?? null) : null;
}

function at(localDate: LocalDate, minutes: number): Instant {
  return addHours(startOfDay(localDate, zone), minutes / 60);
}

/** What is known of the source on that day. */
function knownOf(source: Episode | null, daysAgo: number): { agent?: string; certainty?: Certainty } {
  const known = source?.statuses.filter((status) => status.daysAgo >= daysAgo).at(-1);
  if (!known) return {};
  return { agent: known.agent, certainty: known.status === 'confirmed' ? 'confirmed' : 'suspected' };
}

const REMOVAL_ORDER = Object.keys(STEP_WEIGHTS);

function contentOf(
  chance: Chance,
  occurred: Instant,
  source: Episode | null,
  daysAgo: number,
): { content: ReportedContent; account: string } {
  const known = knownOf(source, daysAgo);
  const kind = chance.weighted(ASSUMED.kinds);
  const stage = kind === 'near-miss' ? 'donning' : chance.weighted(ASSUMED.stages);
  const layer = chance.weighted(LAYER_WEIGHTS);
  const task = stage === 'patient-care' ? chance.weighted(TASK_WEIGHTS) : 'not-known';
  const lapses: Lapse[] =
    kind === 'lapse' || (kind === 'breach' && chance.happens(PUBLISHED.severalRemovalErrors))
      ? [chance.oneOf(['face-touched', 'order-changed', 'step-missed', 'soiled-surface-touched'] as const)]
      : [];
  const breaches = kind === 'lapse' ? [] : [breachOf(chance, layer, kind)];
  const fluid =
    kind === 'near-miss'
      ? 'none'
      : chance.weighted(
          known.agent === 'sars-cov-2' || known.agent === 'mers'
            ? { 'saliva-or-sputum': 4, none: 2, 'disinfectant-only': 1, unknown: 1 }
            : { blood: 2, vomit: 3, faeces: 2, urine: 1, none: 2, 'disinfectant-only': 1, unknown: 1 },
        );
  const contaminated = chance.happens(
    lapses.length > 0 ? PUBLISHED.contaminatedWithLapse : PUBLISHED.contaminatedWithoutLapse,
  );
  const reached = kind !== 'near-miss' && fluid !== 'none' && contaminated;
  const step = stage === 'removal' ? stepFor(chance, kind === 'lapse' ? null : layer) : null;
  const content: ReportedContent = {
    kind,
    occurred: { from: occurred, timeZone: zone },
    leftAreaAt: stage === 'patient-care' ? addHours(occurred, chance.between(2, 9) / 60) : null,
    stage,
    step,
    breaches,
    lapses,
    foundWhole: Object.keys(LAYER_WEIGHTS).filter((other) => other !== layer && chance.happens(0.75)),
    task,
    fluid,
    seen: kind === 'near-miss' ? nothingSeen() : seenOn(chance, layer, reached, task),
    firstAid: reached
      ? [{ action: 'washed-soap-and-water', at: addHours(occurred, chance.between(4, 18) / 60) }]
      : [{ action: 'none-yet' }],
    anyoneElse: chance.happens(ASSUMED.unanswered) ? 'unknown' : 'no',
    ...known,
    callMe: chance.happens(0.4),
    facts: kind === 'near-miss' ? null : answersOf(chance, task),
  };
  return { content, account: accountOf(chance, content, layer) };
}

function breachOf(chance: Chance, layer: string, kind: ReportedContent['kind']): Breach {
  const isGlove = layer.endsWith('gloves');
  const manner = chance.weighted(
    isGlove
      ? { tear: 5, puncture: 1, displacement: 1 }
      : layer === 'respirator'
        ? { 'seal-loss': 3, displacement: 2 }
        : layer === 'visor' || layer === 'hood'
          ? { displacement: 4, tear: 1 }
          : { tear: 3, 'wetting-through': 3, displacement: 1 },
  );
  return { layer, extent: kind === 'near-miss' || chance.happens(0.55) ? 'partial' : 'total', manner };
}

/** A step at which the layer is still on: it cannot fail after it is off. */
function stepFor(chance: Chance, layer: string | null): string {
  const last = layer === null ? REMOVAL_ORDER.length : REMOVAL_ORDER.indexOf(`take-off-${layer}`) + 1;
  return chance.weighted(
    Object.fromEntries(REMOVAL_ORDER.slice(0, last).map((step) => [step, STEP_WEIGHTS[step] ?? 1])),
  );
}

function nothingSeen(): Seen {
  return {
    skinWet: 'no',
    skinCut: 'no',
    zones: [],
    eyeSplash: 'no',
    mouthNoseSplash: 'no',
    sharpsInjury: 'no',
    brokenSkinBefore: 'no',
  };
}

/** Hands below gloves, the neck above gowns (Tomas and others, 2015); the rest where the layer lies. */
const ZONE_OF: Readonly<Record<string, readonly Zone[]>> = {
  'outer-gloves': ['hands'],
  'inner-gloves': ['hands'],
  apron: ['forearms'],
  gown: ['neck'],
  hood: ['neck'],
  'footwear-covers': ['feet'],
};

function seenOn(chance: Chance, layer: string, reached: boolean, task: Task): Seen {
  const sharp =
    (task === 'cannulation' || task === 'blood-sampling') && layer.endsWith('gloves') && chance.happens(0.2);
  const answer = (yes: boolean) => (chance.happens(ASSUMED.unanswered) ? 'unknown' : yes ? 'yes' : 'no');
  const onSkin = reached && layer in ZONE_OF;
  return {
    skinWet: onSkin ? 'yes' : answer(false),
    skinCut: sharp ? 'yes' : 'no',
    zones: onSkin ? (ZONE_OF[layer] ?? []) : [],
    eyeSplash: reached && layer === 'visor' ? 'yes' : answer(false),
    mouthNoseSplash: answer(false),
    sharpsInjury: sharp ? 'yes' : 'no',
    brokenSkinBefore: answer(false),
  };
}

/** Answers in the vocabulary itself, some of which nobody could give. */
function answersOf(chance: Chance, task: Task): Record<string, string | number> {
  const answers: Record<string, string | number> = {
    recommendedPpe: 'yes',
    maskWorn: 'respirator',
    eyeProtectionWorn: 'yes',
    gownAndGlovesWorn: 'yes',
    sourceIllness: 'later',
    sourceMasked: chance.happens(0.3) ? 'yes' : 'no',
    contactMinutes: chance.between(2, 55),
    // Whoever is at the bedside is within a metre.
    distanceMetres: task === 'not-known' ? chance.oneOf([0.5, 1, 2]) : 0.5,
    prolongedContact: chance.happens(0.4) ? 'yes' : 'no',
  };
  return Object.fromEntries(Object.entries(answers).filter(() => !chance.happens(ASSUMED.unanswered)));
}

const LAYER_NAMES: Readonly<Record<string, string>> = {
  'outer-gloves': 'outer glove',
  'inner-gloves': 'inner glove',
  apron: 'apron',
  gown: 'gown',
  visor: 'visor',
  respirator: 'respirator',
  hood: 'hood',
  'footwear-covers': 'footwear cover',
};

function accountOf(chance: Chance, { kind, stage, fluid, firstAid }: ReportedContent, layer: string): string {
  const what = LAYER_NAMES[layer] ?? layer;
  if (kind === 'near-miss') {
    return chance.oneOf([
      `Found a flaw in the ${what} at the last look before going in. It was changed, nobody had been inside.`,
      `My buddy saw that the ${what} was not right. We replaced it and started again.`,
    ]);
  }
  const when = stage === 'removal' ? 'while taking off' : stage === 'patient-care' ? 'at the bedside' : 'at the end';
  const first =
    kind === 'lapse'
      ? chance.oneOf([
          `I went out of step ${when}. My buddy called it out.`,
          `I touched something I should not have ${when}, and we stopped at once.`,
        ])
      : chance.oneOf([
          `The ${what} gave way ${when}.`,
          `I noticed ${when} that the ${what} was open. I do not know for how long.`,
          `My buddy saw the ${what} fail ${when} and told me to stop.`,
        ]);
  const second =
    fluid === 'none' ? 'Nothing wet was near.' : fluid === 'unknown' ? 'I could not see what was on it.' : '';
  const third = firstAid?.some(({ action }) => action !== 'none-yet')
    ? 'I washed with soap and water as soon as everything was off.'
    : 'Everything came off in the usual order after that.';
  return [first, second, third].filter((sentence) => sentence !== '').join(' ');
}

/** The people whose cases are running today, each told for something that a nurse meets. */
function runningCases(seed: string, moment: Instant, today: LocalDate, people: readonly DemoPerson[]): DemoCase[] {
  // People tell a time to the minute.
  const now = `${moment.slice(0, 16)}:00.000Z`;
  const larch = EPISODES.find(({ pseudonym }) => pseudonym === RUNNING_SOURCE) ?? null;
  const hazel = EPISODES.find(({ pseudonym }) => pseudonym === 'Hazel-01') ?? null;
  const exposedHands = (occurred: Instant): ReportedContent => ({
    kind: 'breach',
    occurred: { from: occurred, timeZone: zone },
    stage: 'removal',
    step: 'take-off-gown',
    breaches: [{ layer: 'inner-gloves', extent: 'total', manner: 'tear' }],
    lapses: [],
    foundWhole: ['hood', 'respirator', 'visor', 'footwear-covers'],
    task: 'cleaning-spill',
    fluid: 'vomit',
    seen: { ...nothingSeen(), skinWet: 'yes', zones: ['hands'] },
    firstAid: [{ action: 'washed-soap-and-water', at: addHours(occurred, 0.15) }],
    anyoneElse: 'no',
    callMe: false,
    facts: { recommendedPpe: 'yes', maskWorn: 'respirator', eyeProtectionWorn: 'yes' },
  });
  const tell = (
    name: string,
    person: number,
    occurred: Instant,
    changes: Partial<Omit<DemoCase, 'content'>> & { readonly content?: Partial<ReportedContent>; daysAgo: number },
    source: Episode | null = larch,
  ): DemoCase => {
    const { content, daysAgo, ...rest } = changes;
    return {
      key: `${seed}/running/${name}`,
      event: `${seed}/running/${name}`,
      person,
      unit: people[person]?.unit ?? ISOLATION,
      reportedAt: addHours(occurred, 0.6),
      enteredBy: 'wearer',
      source: source?.pseudonym ?? null,
      content: { ...exposedHands(occurred), ...knownOf(source, daysAgo), ...content },
      account:
        'The inner glove tore at the thumb while I took off the gown. The thumb was wet when the glove came off.',
      buddy: people[FIRST_OF_THE_HISTORY + person]?.name ?? null,
      standing: 'to-its-end',
      ...rest,
    };
  };
  const daysAgo = (days: number, minutes: number) => at(addDays(today, -days), minutes);
  const unanswered = { skinWet: 'unknown', skinCut: 'unknown', zones: [], brokenSkinBefore: 'unknown' } as const;
  const together = { event: `${seed}/running/two-people`, standing: 'waits-for-signature' as const, daysAgo: 1 };
  return [
    // The wearer who signs in: a week into the follow-up.
    tell('own-case', 0, daysAgo(6, 15 * 60 + 20), { daysAgo: 6 }),
    tell('fever', 5, daysAgo(9, 11 * 60 + 5), { daysAgo: 9, standing: 'fever-open' }),
    tell('ends-today', 7, daysAgo(21, 14 * 60 + 45), { daysAgo: 21 }, hazel),
    tell('departed', 9, daysAgo(2, 16 * 60 + 30), {
      daysAgo: 2,
      standing: 'departed-below',
      content: { seen: { ...nothingSeen(), skinWet: 'unknown' } },
      account: 'The inner glove tore at the cuff. I think that my hand stayed dry, but I did not look at once.',
    }),
    tell('two-people-first', 11, daysAgo(1, 14 * 60 + 20), together),
    tell('two-people-second', 12, daysAgo(1, 14 * 60 + 20), {
      ...together,
      content: {
        stage: 'patient-care',
        step: null,
        breaches: [{ layer: 'gown', extent: 'partial', manner: 'wetting-through' }],
        seen: { ...nothingSeen(), skinWet: 'unknown' },
      },
      account: 'I helped with the same spill. My gown was wet through at the arm.',
    }),
    tell('unsettled', 8, addHours(now, -15), {
      daysAgo: 1,
      standing: 'unsettled',
      enteredBy: 'nurse',
      content: { fluid: 'unknown', task: 'not-known', foundWhole: [], seen: unanswered, facts: null, firstAid: [] },
      account: 'Something gave way at the arm when I took the apron off. I did not look at what was underneath.',
    }),
    tell('near-miss', 10, addHours(now, -3.5), {
      daysAgo: 0,
      content: {
        kind: 'near-miss',
        stage: 'donning',
        step: null,
        breaches: [{ layer: 'inner-gloves', extent: 'partial', manner: 'tear' }],
        fluid: 'none',
        task: 'not-known',
        seen: nothingSeen(),
        firstAid: [],
        facts: null,
      },
      account:
        'A hole in the inner glove, seen by my buddy before I put the outer ones on. Took everything off and began again.',
      standing: 'waits-for-signature',
    }),
    tell('just-now', 6, addHours(now, -0.75), {
      daysAgo: 0,
      standing: 'call-back-open',
      reportedAt: addHours(now, -0.4),
      content: {
        callMe: true,
        seen: unanswered,
        facts: null,
        fluid: 'unknown',
        stage: 'patient-care',
        step: null,
        breaches: [{ layer: 'visor', extent: 'partial', manner: 'displacement' }],
        task: 'airway-procedure',
        foundWhole: ['respirator'],
      },
      account:
        'The visor slipped while we turned the patient. I am not sure whether anything got under it. Please call me.',
    }),
  ];
}
