import { assess, classify, type Facts } from '#domain';
import { loadRulebook } from '#rulebook';
import { Chance } from '../../apps/cli/demo/chance.js';
import { inTurn, ratios, shown, spreadOf, type Line } from './repetitions.js';

const REPETITIONS = 9;
const SETS = 10_000;
const UNKNOWN_SHARE = 0.3;
/** Sets a run: every set is met several times, in the same order for all. */
const ROUNDS = 20;

const ROUTES = ['percutaneous', 'mucosaEye', 'mucosaMouthNose', 'brokenSkin', 'intactSkin'] as const;
const YES_NO = [
  ...ROUTES,
  'bodyFluid',
  'contactPossible',
  'ppeBreach',
  'recommendedPpe',
  'touchedPatient',
  'handledSoiled',
  'inhalation',
] as const;

type Set = Readonly<Record<(typeof YES_NO)[number] | 'activity', string>>;

/** The rows of `vhf-cdc-2023@1` as somebody would write them by hand. */
function byHand(facts: Set): string {
  if (facts.bodyFluid === 'yes') {
    if (facts.percutaneous === 'yes') return 'high-risk';
    if (facts.mucosaEye === 'yes') return 'high-risk';
    if (facts.mucosaMouthNose === 'yes') return 'high-risk';
    if (facts.brokenSkin === 'yes') return 'high-risk';
    if (facts.intactSkin === 'yes') return 'high-risk';
  }
  if (facts.ppeBreach === 'yes' && facts.contactPossible === 'yes') return 'high-risk';
  if (facts.recommendedPpe === 'no') {
    if (facts.touchedPatient === 'yes') return 'high-risk';
    if (facts.activity === 'care') return 'high-risk';
    if (facts.activity === 'after-death') return 'high-risk';
    if (facts.handledSoiled === 'yes') return 'high-risk';
  }
  if (facts.activity === 'household') return 'high-risk';
  if (facts.inhalation === 'yes') return 'not-classified';
  return 'no-known-high-risk';
}

/** A combination that the table declares impossible. */
function impossible(facts: Set): boolean {
  if (facts.bodyFluid === 'no') return facts.contactPossible === 'yes';
  return facts.contactPossible === 'no' && ROUTES.some((route) => facts[route] === 'yes');
}

function randomSets(activities: readonly string[]): Set[] {
  const chance = new Chance('assessment bench');
  const sets: Set[] = [];
  while (sets.length < SETS) {
    const answers = YES_NO.map((fact) => [fact, chance.happens(fact === 'recommendedPpe' ? 0.8 : 0.25) ? 'yes' : 'no']);
    const set = Object.fromEntries([...answers, ['activity', chance.oneOf(activities)]]) as Set;
    if (!impossible(set)) sets.push(set);
  }
  return sets;
}

/** The same sets with three of ten answers taken away. */
function withUnknowns(sets: readonly Set[]): Facts[] {
  const chance = new Chance('unknown answers');
  return sets.map((set) => Object.fromEntries(Object.entries(set).filter(() => !chance.happens(UNKNOWN_SHARE))));
}

/** Categories a second; what comes out is added up, so that nothing can be left undone. */
function aSecond<T>(sets: readonly T[], rounds: number, answer: (set: T) => number): number {
  let sum = 0;
  const begun = performance.now();
  for (let round = 0; round < rounds; round += 1) for (const set of sets) sum += answer(set);
  const seconds = (performance.now() - begun) / 1000;
  if (sum === 0) throw new Error('Nothing was answered.');
  return (rounds * sets.length) / seconds;
}

export async function benchAssessment(): Promise<Line[]> {
  const rulebook = loadRulebook();
  const table = rulebook.table('vhf-cdc-2023@1');
  const activity = rulebook.vocabulary.facts['activity'];
  if (activity?.kind !== 'choice') throw new Error('The vocabulary has changed.');
  const sets = randomSets(activity.values);
  const open = withUnknowns(sets);
  for (const set of sets) {
    const category = classify(table, set);
    if (category !== byHand(set)) throw new Error(`Not the same table: ${category} for ${JSON.stringify(set)}`);
  }
  const contestants = {
    hand: () => aSecond(sets, ROUNDS, (set) => byHand(set).length),
    compiled: () => aSecond(sets, ROUNDS, (set) => classify(table, set).length),
    whole: () => aSecond(open, 1, (set) => assess(table, set).category.length),
  };
  for (const run of Object.values(contestants)) run();
  const { hand, compiled, whole } = await inTurn(REPETITIONS, contestants);
  const millions = (figures: readonly number[]) => spreadOf(figures.map((figure) => figure / 1e6));
  const thousands = (figures: readonly number[]) => spreadOf(figures.map((figure) => figure / 1e3));
  return [
    { what: 'Category by hand-written if/else', figure: 'million a second', spread: shown(millions(hand), 2), aim: '' },
    {
      what: 'Category by the compiled table, encoding included',
      figure: 'million a second',
      spread: shown(millions(compiled), 2),
      aim: '',
    },
    {
      what: 'Compiled table to if/else',
      figure: 'times as long',
      spread: shown(ratios(hand, compiled), 1),
      aim: '10 or less',
    },
    {
      what: 'Whole assessment, 30 % unknown',
      figure: 'thousand a second',
      spread: shown(thousands(whole), 1),
      aim: '',
    },
  ];
}
