import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';
import type { Ternary } from '../decision/table.js';
import { ALL_LAYERS, ENSEMBLE } from './barrier.fixture.js';
import { deriveBarrier } from './derive-barrier.js';
import { ZONES } from './ensemble.js';
import { EXTENTS, MANNERS, ROUTES, STAGES, type Happening, type RouteFacts } from './happening.js';
import { ContradictoryFacts } from './refusals.js';

/** `clothingOnly` says that nothing worse happened, so it rightly falls when something worse did. */
const HARMFUL = ROUTES.filter((route) => route !== 'clothingOnly');

const ternary = fc.constantFrom<Ternary>('yes', 'no', 'unknown');
const breach = fc.record({
  layer: fc.constantFrom(...ALL_LAYERS),
  extent: fc.constantFrom(...EXTENTS, 'unknown' as const),
  manner: fc.constantFrom(...MANNERS, 'unknown' as const),
});
const stageAndStep = fc.constantFrom(...STAGES).chain((stage) => {
  const sequence = stage === 'removal' ? ENSEMBLE.removal : stage === 'donning' ? ENSEMBLE.donning : [];
  return fc.record({ stage: fc.constant(stage), step: fc.constantFrom(null, ...sequence.map(({ id }) => id)) });
});
const happening: fc.Arbitrary<Happening> = fc
  .tuple(
    stageAndStep,
    fc.record({
      breaches: fc.array(breach, { maxLength: 4 }),
      foundWhole: fc.subarray(ALL_LAYERS),
      fluid: ternary,
      seen: fc.record({
        skinWet: ternary,
        skinCut: ternary,
        zones: fc.subarray([...ZONES]),
        eyeSplash: ternary,
        mouthNoseSplash: ternary,
        sharpsInjury: ternary,
        brokenSkinBefore: ternary,
      }),
    }),
  )
  .map(([when, rest]) => ({ ...when, ...rest }));

/** Null where the facts contradict each other, which random ones often do. */
function routesOf(facts: Happening): RouteFacts | null {
  try {
    return deriveBarrier(ENSEMBLE, facts).routes;
  } catch (error) {
    if (error instanceof ContradictoryFacts) return null;
    throw error;
  }
}

const neverEased = (before: RouteFacts | null, after: RouteFacts | null) =>
  !before || !after || HARMFUL.every((route) => before[route] === 'no' || after[route] !== 'no');

const never = (property: fc.IRawProperty<unknown>) => fc.assert(property as never, { numRuns: 4000 });

describe('the barrier, whatever happened', () => {
  it('is never better for one layer fewer that was found whole', () => {
    never(
      fc.property(happening, fc.nat(), (facts, pick) => {
        const fewer = facts.foundWhole.filter((_, index) => index !== pick % Math.max(1, facts.foundWhole.length));
        return neverEased(routesOf(facts), routesOf({ ...facts, foundWhole: fewer }));
      }),
    );
  });

  it('is never better for one breach more', () => {
    never(
      fc.property(happening, breach, (facts, more) => {
        // After removal the first breach says that the ensemble was still worn: another happening, not a worse one.
        if (facts.stage === 'after-removal' && facts.breaches.length === 0) return true;
        const foundWhole = facts.foundWhole.filter((layer) => layer !== more.layer);
        const before = routesOf(facts);
        return neverEased(before, routesOf({ ...facts, foundWhole, breaches: [...facts.breaches, more] }));
      }),
    );
  });

  it('is never better for a total failure than for a partial one, nor for a puncture than for a tear', () => {
    never(
      fc.property(happening, (facts) => {
        const partial = { ...facts, breaches: facts.breaches.map((one) => ({ ...one, extent: 'partial' as const })) };
        const total = { ...facts, breaches: facts.breaches.map((one) => ({ ...one, extent: 'total' as const })) };
        const torn = { ...facts, breaches: facts.breaches.map((one) => ({ ...one, manner: 'tear' as const })) };
        const unsaid = { ...facts, breaches: facts.breaches.map((one) => ({ ...one, manner: 'unknown' as const })) };
        const holed = { ...facts, breaches: facts.breaches.map((one) => ({ ...one, manner: 'puncture' as const })) };
        return (
          neverEased(routesOf(partial), routesOf(total)) &&
          neverEased(routesOf(torn), routesOf(unsaid)) &&
          neverEased(routesOf(unsaid), routesOf(holed))
        );
      }),
    );
  });

  it('never answers "no" for an unknown where a "yes" would have answered otherwise', () => {
    const answers = ['skinWet', 'skinCut', 'eyeSplash', 'mouthNoseSplash', 'sharpsInjury', 'brokenSkinBefore'] as const;
    never(
      fc.property(happening, fc.constantFrom(...answers), (facts, answer) => {
        const [no, unknown, yes] = (['no', 'unknown', 'yes'] as const).map((value) =>
          routesOf({ ...facts, seen: { ...facts.seen, [answer]: value } }),
        );
        return neverEased(no ?? null, unknown ?? null) && neverEased(unknown ?? null, yes ?? null);
      }),
    );
    never(
      fc.property(happening, (facts) => {
        const [no, unknown, yes] = (['no', 'unknown', 'yes'] as const).map((fluid) => routesOf({ ...facts, fluid }));
        return neverEased(no ?? null, unknown ?? null) && neverEased(unknown ?? null, yes ?? null);
      }),
    );
  });

  it('answers "no" at a zone only where a layer was found whole or nothing wet was there', () => {
    never(
      fc.property(happening, (facts) => {
        if (facts.fluid === 'no' || facts.stage === 'donning' || !routesOf(facts)) return true;
        return deriveBarrier(ENSEMBLE, facts).zones.every(
          ({ reached, layers }) => reached !== 'no' || layers.some(({ state }) => state === 'intact'),
        );
      }),
    );
  });

  it('calls a layer intact only if somebody found it whole', () => {
    never(
      fc.property(happening, (facts) => {
        if (!routesOf(facts)) return true;
        return deriveBarrier(ENSEMBLE, facts)
          .zones.flatMap(({ layers }) => layers)
          .every(({ layer, state }) => state !== 'intact' || facts.foundWhole.includes(layer));
      }),
    );
  });

  it('gives one reason for each route that is not "no"', () => {
    let judged = 0;
    never(
      fc.property(happening, (facts) => {
        if (!routesOf(facts)) return true;
        judged += 1;
        const { routes, reasons } = deriveBarrier(ENSEMBLE, facts);
        const open = ROUTES.filter((route) => routes[route] !== 'no').length;
        return reasons.length === open && reasons.every((words) => /^[A-Z].+\.$/.test(words) && !words.includes(': .'));
      }),
    );
    expect(judged).toBeGreaterThan(1000);
  });
});
