import { describe, expect, it } from '@jest/globals';
import { loadRulebook } from '#rulebook';
import { NOTHING_SEEN } from './barrier.fixture.js';
import { deriveBarrier } from './derive-barrier.js';
import type { Breach, Happening } from './happening.js';

const rulebook = loadRulebook();
const ensemble = rulebook.ensemble('full-barrier');
const layers = ensemble.layers.map(({ id }) => id);

function routesAt(changes: Partial<Happening>) {
  const breached = new Set(changes.breaches?.map(({ layer }) => layer));
  return deriveBarrier(ensemble, {
    stage: 'patient-care',
    step: null,
    breaches: [],
    foundWhole: layers.filter((layer) => !breached.has(layer)),
    fluid: 'yes',
    seen: NOTHING_SEEN,
    ...changes,
  }).routes;
}

describe('the barrier of the shipped ensemble', () => {
  it('covers every zone: found whole, it lets nothing through, and without any one layer something may have come', () => {
    expect(Object.values(routesAt({})).every((answer) => answer === 'no')).toBe(true);
    for (const layer of layers) {
      const under = ensemble.layers.filter(({ id }) => id !== layer).map(({ id }) => id);
      const without = routesAt({ breaches: [{ layer, extent: 'total', manner: 'tear' }], foundWhole: under });
      const alone = ensemble.layers
        .find(({ id }) => id === layer)
        ?.zones.some((zone) => !ensemble.layers.some((other) => other.id !== layer && other.zones.includes(zone)));
      const reached = [without.intactSkin, without.mucosaEye, without.mucosaMouthNose].includes('yes');
      expect([layer, reached]).toEqual([layer, alone]);
    }
  });

  it('holds at the skin over an inner glove that was found whole, and no longer once the outer gloves are off', () => {
    const inner: Breach = { layer: 'inner-gloves', extent: 'total', manner: 'tear' };
    expect(routesAt({ breaches: [inner] }).intactSkin).toBe('no');
    expect(routesAt({ breaches: [inner], stage: 'removal', step: 'take-off-outer-gloves' }).intactSkin).toBe('yes');
  });

  it('opens step by step in the order of its own removal sequence', () => {
    const open = ensemble.removal.map(({ id }) => {
      const { mucosaEye, inhalation } = routesAt({ stage: 'removal', step: id });
      return `${id}: eyes ${mucosaEye}, airway ${inhalation}`;
    });
    expect(open).toEqual([
      'take-off-outer-gloves: eyes no, airway no',
      'take-off-apron: eyes no, airway no',
      'take-off-gown: eyes no, airway no',
      'take-off-visor: eyes unknown, airway no',
      'take-off-respirator: eyes unknown, airway unknown',
      'take-off-hood: eyes unknown, airway unknown',
      'take-off-footwear-covers: eyes unknown, airway unknown',
      'take-off-inner-gloves: eyes unknown, airway unknown',
      'wash-hands: eyes unknown, airway unknown',
    ]);
  });

  it('reads back every layer and every step of itself without a refusal', () => {
    for (const stage of ['donning', 'removal'] as const) {
      for (const { id } of stage === 'donning' ? ensemble.donning : ensemble.removal) {
        expect(() => routesAt({ stage, step: id, foundWhole: layers })).not.toThrow();
      }
    }
  });
});
