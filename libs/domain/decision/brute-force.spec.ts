import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';
import { anyCase, anySpecimen, type Specimen } from '../../../tests/support/decision/any-table.js';
import { BruteForce, product, type Combination } from '../../../tests/support/decision/brute-force.js';
import { assess, classify } from './assess.js';
import type { Assessment } from './assessment.js';
import { compileTable, type CompiledTable } from './compile.js';
import { encodeFacts } from './encode.js';
import { checkTable } from './prove.js';
import { Reach } from './reach.js';
import { ImpossibleCombination } from './refusals.js';
import type { Facts } from './table.js';

const RUNS = { numRuns: 400 };

function compiled({ table, vocabulary }: Specimen): CompiledTable {
  return compileTable(table, vocabulary, 'hash');
}

/** Compiles unless the impossible combinations leave nothing, which is a defect of the specimen. */
function setUp(specimen: Specimen): { truth: BruteForce; table: CompiledTable } {
  const truth = new BruteForce(specimen);
  fc.pre(truth.combinations.length > 0);
  return { truth, table: compiled(specimen) };
}

function factsOf({ table, values }: BruteForce, combination: Combination): Facts {
  return Object.fromEntries(table.inputs.map(({ fact }, i) => [fact, values[i]?.[combination[i] as number]]));
}

/** The number of a value by its label or sample. */
function valueNumber(table: CompiledTable, fact: string, label: string): number {
  const coding = table.inputs.find((input) => input.fact === fact)?.coding;
  return Math.max(coding?.labels.indexOf(label) ?? -1, coding?.samples.indexOf(label) ?? -1);
}

const idOf = (table: CompiledTable) => (words: string) =>
  table.ranking.find((category) => category.words === words)?.id;

describe('a compiled table, against walking all combinations of its inputs', () => {
  it('ends every possible combination as the rules do, and refuses every impossible one', () => {
    fc.assert(
      fc.property(anySpecimen(), (specimen) => {
        const { truth, table } = setUp(specimen);
        const possible = new Set(truth.combinations.map(String));
        for (const combination of product(truth.values.map((values) => values.map((_, i) => i)))) {
          const facts = factsOf(truth, combination);
          if (!possible.has(String(combination))) {
            expect(() => assess(table, facts)).toThrow(ImpossibleCombination);
            expect(() => classify(table, facts)).toThrow(ImpossibleCombination);
            continue;
          }
          const end = truth.end(combination);
          const assessment = assess(table, facts);
          expect(assessment.categoryId).toBe(end.category);
          expect(assessment.rule).toBe(end.rule?.id ?? null);
          expect(assessment.settled).toBe(true);
          expect(classify(table, facts)).toBe(end.category);
        }
      }),
      { numRuns: 150 },
    );
  });

  it('reaches exactly the categories of the completions, and takes the worst as the interim one', () => {
    fc.assert(
      fc.property(anyCase(), (specimen) => {
        const { truth, table } = setUp(specimen);
        const completions = truth.completions(specimen.facts);
        if (completions.length === 0) {
          expect(() => assess(table, specimen.facts)).toThrow(ImpossibleCombination);
          return;
        }
        const categories = truth.categories(completions);
        const assessment = assess(table, specimen.facts);
        expect(assessment.reachable.map(idOf(table))).toEqual(categories);
        expect(assessment.categoryId).toBe(categories[0]);
        expect(assessment.settled).toBe(categories.length === 1);
        expect(classify(table, specimen.facts)).toBe(categories[0]);
        expect(assessment.settled ? [] : assessment.rule).toEqual(assessment.settled ? [] : null);
      }),
      RUNS,
    );
  });

  it('names a rule only if it holds and gives the category in every completion', () => {
    fc.assert(
      fc.property(anyCase(), (specimen) => {
        const { truth, table } = setUp(specimen);
        const completions = truth.completions(specimen.facts);
        fc.pre(completions.length > 0);
        const { rule, categoryId } = assess(table, specimen.facts);
        if (rule === null) return;
        for (const completion of completions) {
          expect(truth.matching(completion).map(({ id }) => id)).toContain(rule);
          expect(truth.end(completion).category).toBe(categoryId);
        }
      }),
      RUNS,
    );
  });

  it('rests on the rules of its completions: their weakest grade, and the sources of the worst outcome', () => {
    const order = ['read', 'second-hand', 'derived', 'remembered'];
    fc.assert(
      fc.property(anyCase(), (specimen) => {
        fc.pre(specimen.table.adjustments.length === 0);
        const { truth, table } = setUp(specimen);
        const completions = truth.completions(specimen.facts);
        fc.pre(completions.length > 0);
        const ends = completions.map((completion) => truth.end(completion));
        const assessment = assess(table, specimen.facts);
        // That no rule holds is our own conclusion.
        const grades = ends.map(({ rule }) => order.indexOf(rule?.grade ?? 'derived'));
        expect(assessment.grade).toBe(order[Math.max(...grades)]);
        const worst = ends.filter(({ category }) => category === assessment.categoryId);
        const sections = new Set(worst.flatMap(({ rule }) => rule?.sources.map(({ section }) => section) ?? []));
        expect(new Set(assessment.sources.map(({ section }) => section))).toEqual(sections);
        const actions = new Set(worst.flatMap(({ rule }) => rule?.then.actions ?? []));
        expect(new Set(assessment.actions.map(({ code }) => code))).toEqual(actions);
      }),
      RUNS,
    );
  });

  it('asks exactly the questions that can still change the category, in their order', () => {
    fc.assert(
      fc.property(anyCase(4), (specimen) => {
        const { truth, table } = setUp(specimen);
        fc.pre(truth.completions(specimen.facts).length > 0);
        const { openQuestions } = assess(table, specimen.facts);
        expect(openQuestions.map(({ fact }) => fact)).toEqual(rankedQuestions(truth, specimen.facts));
        for (const { fact, values, leaves, settlesAlone } of openQuestions) {
          const place = specimen.table.inputs.findIndex((input) => input.fact === fact);
          const byValue = groupBy(truth.completions(specimen.facts), (completion) => completion[place] as number);
          expect(values.map((label) => valueNumber(table, fact, label))).toEqual(
            [...byValue.keys()].sort((a, b) => a - b),
          );
          for (const label of values) {
            const rest = byValue.get(valueNumber(table, fact, label)) ?? [];
            expect(leaves[label]?.map(idOf(table))).toEqual(truth.categories(rest));
          }
          expect(settlesAlone).toBe([...byValue.values()].every((rest) => truth.categories(rest).length === 1));
        }
      }),
      RUNS,
    );
  });

  it('asks something whenever the category is not settled', () => {
    fc.assert(
      fc.property(anyCase(8), (specimen) => {
        const { truth, table } = setUp(specimen);
        fc.pre(truth.completions(specimen.facts).length > 0);
        const { settled, openQuestions } = assess(table, specimen.facts);
        expect(openQuestions.length === 0).toBe(settled);
      }),
      RUNS,
    );
  });

  it('names the fewest known facts whose change moves the category, and says rightly where to', () => {
    fc.assert(
      fc.property(anyCase(2), (specimen) => {
        const { truth, table } = setUp(specimen);
        fc.pre(truth.completions(specimen.facts).length > 0);
        const { nearestChange } = assess(table, specimen.facts).explanation;
        expect(nearestChange?.changes.length ?? null).toBe(fewestChanges(truth, specimen.facts));
        if (!nearestChange) return;
        const changed: Record<string, unknown> = { ...specimen.facts };
        for (const { fact, to } of nearestChange.changes) {
          const input = table.inputs.find((candidate) => candidate.fact === fact);
          changed[fact] = input?.coding.samples[valueNumber(table, fact, to)];
        }
        const after = assess(table, changed as Facts);
        expect(after.category).toBe(nearestChange.category);
        expect(after.category).not.toBe(assess(table, specimen.facts).category);
      }),
      RUNS,
    );
  });

  it('counts, and finds gaps, collisions, dead rules and what was left open, as they are', () => {
    fc.assert(
      fc.property(anySpecimen({ inputs: 4, rules: 4, impossible: 2 }), (specimen) => {
        const { truth, table } = setUp(specimen);
        const check = checkTable(table);
        const gap = (combination: Combination) => truth.matching(combination).length === 0;
        const leftOpen = (combination: Combination) =>
          !gap(combination) && truth.end(combination).category === 'not-classified';
        expect(check.combinations).toBe(String(truth.combinations.length));
        expect(check.gapCombinations).toBe(String(truth.combinations.filter(gap).length));
        expect(check.notClassified.combinations).toBe(String(truth.combinations.filter(leftOpen).length));

        const cover = check.gaps.flatMap(({ facts }) => truth.completions(facts));
        expect(cover.every(gap)).toBe(true);
        if (check.gapsAreAll) expect(new Set(cover.map(String)).size).toBe(Number(check.gapCombinations));
        expect(check.gaps.every(({ smallest }) => smallest)).toBe(true);
        expect(namedFacts(check.gaps[0]?.facts)).toBe(fewestNamed(truth, gap));
        expect(namedFacts(check.notClassified.example?.facts)).toBe(fewestNamed(truth, leftOpen));

        expect(check.collisions.map(({ rules }) => rules)).toEqual(collidingPairs(truth));
        for (const { rules, facts, combinations } of check.collisions) {
          const both = (combination: Combination) => isCollision(truth, combination, rules);
          expect(combinations).toBe(String(truth.combinations.filter(both).length));
          expect(truth.completions(facts).every(both)).toBe(true);
          expect(namedFacts(facts)).toBe(fewestNamed(truth, both));
        }

        const neverHolds = specimen.table.rules.filter(
          (rule) => !truth.combinations.some((combination) => truth.matching(combination).includes(rule)),
        );
        const fires = new Set(truth.combinations.map((combination) => truth.end(combination).rule));
        const outranked = specimen.table.rules.filter(
          (rule) => specimen.table.hitPolicy !== 'unique' && !neverHolds.includes(rule) && !fires.has(rule),
        );
        const dead = (why: string) => check.deadRules.filter((found) => found.why === why).map(({ rule }) => rule);
        expect(dead('never-holds')).toEqual(neverHolds.map(({ id }) => id));
        expect(dead('always-outranked')).toEqual(outranked.map(({ id }) => id));
      }),
      RUNS,
    );
  });

  it('never reaches more after an unknown is answered', () => {
    fc.assert(
      fc.property(anyCase(8), fc.nat(), fc.nat(), (specimen, which, answer) => {
        const { truth, table } = setUp(specimen);
        fc.pre(truth.completions(specimen.facts).length > 0);
        const { openQuestions, reachable } = assess(table, specimen.facts);
        fc.pre(openQuestions.length > 0);
        const { fact, values } = openQuestions[which % openQuestions.length] as Assessment['openQuestions'][0];
        const label = values[answer % values.length] as string;
        const input = table.inputs.find((candidate) => candidate.fact === fact);
        const answered = { ...specimen.facts, [fact]: input?.coding.samples[valueNumber(table, fact, label)] };
        const after = assess(table, answered).reachable;
        expect(reachable).toEqual(expect.arrayContaining([...after]));
      }),
      RUNS,
    );
  });

  it('never reads unknown as "no": the two agree only where the answer cannot matter', () => {
    fc.assert(
      fc.property(anyCase(8), fc.nat(), (specimen, which) => {
        const { truth, table } = setUp(specimen);
        const asked = specimen.table.inputs.filter(({ fact }) => specimen.vocabulary.facts[fact]?.kind === 'yesNo');
        fc.pre(asked.length > 0);
        const { fact } = asked[which % asked.length] as { fact: string };
        const unknown = { ...specimen.facts, [fact]: 'unknown' };
        const no = { ...specimen.facts, [fact]: 'no' };
        const yes = { ...specimen.facts, [fact]: 'yes' };
        const reach = (facts: Facts) => truth.categories(truth.completions(facts));
        fc.pre(truth.completions(unknown).length > 0);
        const reachable = assess(table, unknown).reachable.map(idOf(table));
        expect(new Set(reachable)).toEqual(new Set([...reach(no), ...reach(yes)]));
        if (reach(no).join() === reachable.join()) expect(reach(no)).toEqual(expect.arrayContaining(reach(yes)));
      }),
      RUNS,
    );
  });

  it('forgets one question before the next: the order of calls changes no answer', () => {
    fc.assert(
      fc.property(
        anySpecimen().chain((specimen) => fc.tuple(fc.constant(specimen), fc.array(fc.nat(), { maxLength: 6 }))),
        ([specimen, picks]) => {
          const { truth, table } = setUp(specimen);
          const questions = picks.map((pick) =>
            factsOf(truth, truth.combinations[pick % truth.combinations.length] ?? []),
          );
          const once = questions.map((facts) => JSON.stringify(assess(table, facts)));
          const again = [...questions].reverse().map((facts) => JSON.stringify(assess(compiled(specimen), facts)));
          expect(again.reverse()).toEqual(once);
        },
      ),
      { numRuns: 100 },
    );
  });

  it('walks each node of a diagram once, however many combinations lead to it', () => {
    fc.assert(
      fc.property(anyCase(), (specimen) => {
        const { table } = setUp(specimen);
        const reach = new Reach(table);
        encodeFacts(table, specimen.facts, reach.allowed);
        reach.explore();
        expect(new Set(reach.met).size).toBe(reach.met.length);
        expect(reach.met.length).toBeLessThanOrEqual(table.byCategory.nodes.length);
      }),
      { numRuns: 100 },
    );
  });
});

function groupBy<T>(items: readonly T[], key: (item: T) => number): Map<number, T[]> {
  const groups = new Map<number, T[]>();
  for (const item of items) groups.set(key(item), [...(groups.get(key(item)) ?? []), item]);
  return groups;
}

/**
 * The open questions in their order. A question is open when an answer to it narrows what is reachable or two completions
 * that differ in nothing else differ in category; where none is, when it narrows after the fewest answers to others.
 */
function rankedQuestions(truth: BruteForce, facts: Facts): string[] {
  const all = truth.completions(facts);
  if (truth.categories(all).length === 1) return [];
  const places = truth.table.inputs.map((_, place) => place).filter((place) => byAnswer(all, place).size > 1);
  let relevant = places.filter((place) => narrows(truth, all, place) || flips(truth, all, place));
  for (let answers = 1; relevant.length === 0; answers++) {
    relevant = places.filter((place) => afterAnswers(all, places, answers).some((rest) => narrows(truth, rest, place)));
  }
  const merits = (place: number) => {
    const rests = [...byAnswer(all, place).values()].map((rest) => truth.categories(rest));
    return {
      settles: rests.every(({ length }) => length === 1),
      worst: Math.min(...rests.map((rest) => truth.rank(rest[0] ?? ''))),
      most: Math.max(...rests.map(({ length }) => length)),
    };
  };
  return relevant
    .map((place) => ({ place, ...merits(place) }))
    .sort((a, b) => Number(b.settles) - Number(a.settles) || a.worst - b.worst || a.most - b.most || a.place - b.place)
    .map(({ place }) => truth.table.inputs[place]?.fact ?? '');
}

function byAnswer(completions: readonly Combination[], place: number): Map<number, Combination[]> {
  return groupBy(completions, (completion) => completion[place] as number);
}

function narrows(truth: BruteForce, completions: readonly Combination[], place: number): boolean {
  const all = truth.categories(completions).join();
  return [...byAnswer(completions, place).values()].some((rest) => truth.categories(rest).join() !== all);
}

function flips(truth: BruteForce, completions: readonly Combination[], place: number): boolean {
  const others = new Map<string, Combination[]>();
  for (const completion of completions) {
    const key = completion.toSpliced(place, 1).join();
    others.set(key, [...(others.get(key) ?? []), completion]);
  }
  return [...others.values()].some((alike) => truth.categories(alike).length > 1);
}

/** What is left after every way to answer so many of the questions. */
function afterAnswers(
  completions: readonly Combination[],
  places: readonly number[],
  answers: number,
): Combination[][] {
  if (answers === 0) return [[...completions]];
  return places.flatMap((place, i) =>
    [...byAnswer(completions, place).values()].flatMap((rest) => afterAnswers(rest, places.slice(i + 1), answers - 1)),
  );
}

/** The fewest known facts to change for the worst reachable category to be another; null when none moves it. */
function fewestChanges(truth: BruteForce, facts: Facts): number | null {
  const worst = truth.categories(truth.completions(facts))[0];
  const open = truth.open(facts);
  const choices = open.map((kept, place) => {
    const all = (truth.values[place] as readonly unknown[]).map((_, value) => value);
    const others = kept.length === all.length ? [] : all.filter((value) => !kept.includes(value));
    return [-1, ...others];
  });
  let fewest: number | null = null;
  for (const change of product(choices)) {
    const changes = change.filter((value) => value >= 0).length;
    if (changes === 0 || (fewest !== null && changes >= fewest)) continue;
    const left = truth.combinations.filter((combination) =>
      combination.every((value, place) =>
        (change[place] as number) >= 0 ? value === change[place] : (open[place] as number[]).includes(value),
      ),
    );
    if (left.length > 0 && truth.categories(left)[0] !== worst) fewest = changes;
  }
  return fewest;
}

function namedFacts(facts: object | undefined): number | null {
  return facts ? Object.keys(facts).length : null;
}

/** The fewest inputs to name so that every possible completion is as wanted. */
function fewestNamed(truth: BruteForce, wanted: (combination: Combination) => boolean): number | null {
  let fewest: number | null = null;
  for (const partial of product(truth.values.map((values) => [-1, ...values.keys()]))) {
    const named = partial.filter((value) => value >= 0).length;
    if (fewest !== null && named >= fewest) continue;
    const fitting = truth.combinations.filter((combination) =>
      combination.every((value, place) => partial[place] === -1 || partial[place] === value),
    );
    if (fitting.length > 0 && fitting.every(wanted)) fewest = named;
  }
  return fewest;
}

function isCollision(truth: BruteForce, combination: Combination, [one, other]: readonly [string, string]): boolean {
  const matching = truth.matching(combination);
  const pair = matching.filter(({ id }) => id === one || id === other);
  if (pair.length < 2 || truth.table.hitPolicy === 'first') return false;
  if (truth.table.hitPolicy === 'unique') return true;
  const top = Math.max(...matching.map(({ then }) => truth.rank(then.category)));
  const actions = new Set(pair.map(({ then }) => (then.actions ?? []).join()));
  return pair.every(({ then }) => truth.rank(then.category) === top) && actions.size > 1;
}

function collidingPairs(truth: BruteForce): [string, string][] {
  const ids = truth.table.rules.map(({ id }) => id);
  return ids
    .flatMap((one, i) => ids.slice(i + 1).map((other): [string, string] => [one, other]))
    .filter((pair) => truth.combinations.some((combination) => isCollision(truth, combination, pair)));
}
