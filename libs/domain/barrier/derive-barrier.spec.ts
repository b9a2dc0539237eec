import { describe, expect, it } from '@jest/globals';
import { aHappening, ALL_LAYERS, allBut, ENSEMBLE, NOBODY_LOOKED, NOTHING_SEEN } from './barrier.fixture.js';
import { deriveBarrier } from './derive-barrier.js';
import { ROUTES, type Breach, type Happening, type LayerState } from './happening.js';
import type { Zone } from './ensemble.js';

const outerTear: Breach = { layer: 'outer-gloves', extent: 'total', manner: 'tear' };
const innerTear: Breach = { layer: 'inner-gloves', extent: 'total', manner: 'tear' };
const derive = (changes: Partial<Happening> = {}) => deriveBarrier(ENSEMBLE, aHappening(changes));
const routes = (changes: Partial<Happening> = {}) => derive(changes).routes;
const zone = (picture: ReturnType<typeof derive>, name: Zone) => {
  const found = picture.zones.find((candidate) => candidate.zone === name);
  if (!found) throw new Error(`no zone ${name}`);
  return found;
};
const states = (picture: ReturnType<typeof derive>, name: Zone): Record<string, LayerState> =>
  Object.fromEntries(zone(picture, name).layers.map(({ layer, state }) => [layer, state]));

describe('the barrier during care', () => {
  it('lets nothing through where every layer was found whole', () => {
    const picture = derive();
    expect(Object.values(picture.routes).every((answer) => answer === 'no')).toBe(true);
    expect(picture.zones.map(({ reached }) => reached)).toEqual(picture.zones.map(() => 'no'));
    expect(picture.reasons).toEqual([]);
    expect(picture.ensemble).toBe('specimen@1');
  });

  it.each(['total', 'partial'] as const)(
    'holds at the skin when an outer glove has a %s tear over an inner glove that was found whole',
    (extent) => {
      const picture = derive({ breaches: [{ ...outerTear, extent }] });
      expect(picture.routes.intactSkin).toBe('no');
      expect(zone(picture, 'hands').reached).toBe('no');
      expect(states(picture, 'hands')).toEqual({ 'outer-gloves': extent, 'inner-gloves': 'intact' });
    },
  );

  it('is in doubt at the skin while nobody has looked at the inner glove', () => {
    const picture = derive({ breaches: [outerTear], foundWhole: allBut('outer-gloves', 'inner-gloves') });
    expect(picture.routes.intactSkin).toBe('unknown');
    expect(zone(picture, 'hands').reached).toBe('unknown');
    expect(picture.reasons).toEqual([
      'Skin: contact cannot be ruled out: hands (outer gloves failed; inner gloves not known to be whole).',
    ]);
  });

  it('is open at the skin when both gloves failed', () => {
    const picture = derive({ breaches: [outerTear, innerTear] });
    expect(picture.routes.intactSkin).toBe('yes');
    expect(picture.reasons).toEqual([
      'Skin could have been reached: hands (outer gloves failed; inner gloves failed).',
    ]);
  });

  it('takes a failure of unstated extent as a total one', () => {
    const picture = derive({ breaches: [{ ...outerTear, extent: 'unknown' }, innerTear] });
    expect(states(picture, 'hands')['outer-gloves']).toBe('total');
    expect(picture.routes.intactSkin).toBe('yes');
  });

  it('leaves every route in doubt when nobody has answered anything', () => {
    const answers = routes({ breaches: [outerTear], foundWhole: [], fluid: 'unknown', seen: NOBODY_LOOKED });
    for (const route of ROUTES) expect([route, answers[route]]).toEqual([route, 'unknown']);
  });

  it('has no contact where nothing wet or soiled was there, but air still passes a failed respirator', () => {
    const answers = routes({
      breaches: [outerTear, innerTear, { layer: 'respirator', extent: 'partial', manner: 'seal-loss' }],
      fluid: 'no',
    });
    expect(answers.intactSkin).toBe('no');
    expect(answers.mucosaMouthNose).toBe('no');
    expect(answers.inhalation).toBe('yes');
  });

  it('keeps contact in doubt where nobody said whether anything wet was there', () => {
    const picture = derive({ breaches: [outerTear, innerTear], fluid: 'unknown' });
    expect(picture.routes.intactSkin).toBe('unknown');
    expect(picture.reasons.join()).toContain('Nobody said whether anything wet or soiled was there.');
  });
});

describe('the airway', () => {
  it.each(['seal-loss', 'displacement', 'missing', 'wetting-through', 'tear'] as const)(
    'is open when the respirator failed by %s',
    (manner) => {
      const picture = derive({
        breaches: [{ layer: 'respirator', extent: 'partial', manner }],
        foundWhole: allBut('respirator'),
      });
      expect(picture.routes.inhalation).toBe('yes');
      expect(zone(picture, 'mouthNose').reached).toBe('yes');
      expect(picture.reasons).toContain('The airway was open: FFP3 respirator failed in part.');
    },
  );

  it('is in doubt while nobody has looked at the respirator', () => {
    expect(routes({ foundWhole: allBut('respirator') }).inhalation).toBe('unknown');
  });
});

describe('a puncture', () => {
  const puncture: Breach = { layer: 'outer-gloves', extent: 'partial', manner: 'puncture' };

  it('leaves an inner glove that looked whole in doubt until somebody says that there was no sharps injury', () => {
    const unsaid = derive({ breaches: [puncture], seen: { ...NOTHING_SEEN, sharpsInjury: 'unknown' } });
    expect(states(unsaid, 'hands')['inner-gloves']).toBe('unknown');
    expect(unsaid.routes.percutaneous).toBe('unknown');
    expect(unsaid.routes.intactSkin).toBe('unknown');

    const denied = derive({ breaches: [puncture] });
    expect(states(denied, 'hands')['inner-gloves']).toBe('intact');
    expect(denied.routes.percutaneous).toBe('no');
  });

  it('is not excluded by "no sharps injury" alone, while nobody has looked at the glove under it', () => {
    const answers = routes({ breaches: [puncture], foundWhole: allBut('outer-gloves', 'inner-gloves') });
    expect(answers.percutaneous).toBe('unknown');
  });

  it('of the innermost layer is never excluded', () => {
    const answers = routes({ breaches: [{ ...puncture, layer: 'inner-gloves' }] });
    expect(answers.percutaneous).toBe('unknown');
  });

  it('may lie behind a failure whose manner nobody stated', () => {
    const answers = routes({
      breaches: [{ ...outerTear, manner: 'unknown' }],
      seen: { ...NOTHING_SEEN, sharpsInjury: 'unknown' },
    });
    expect(answers.percutaneous).toBe('unknown');
    expect(answers.intactSkin).toBe('unknown');
  });

  it('is certain when a sharps injury was seen, whatever was found whole and however clean it looked', () => {
    const answers = routes({ fluid: 'no', seen: { ...NOTHING_SEEN, sharpsInjury: 'yes' } });
    expect(answers.percutaneous).toBe('yes');
  });

  it('stays in doubt while nobody said whether there was a sharps injury, even if nothing failed', () => {
    expect(routes({ seen: { ...NOTHING_SEEN, sharpsInjury: 'unknown' } }).percutaneous).toBe('unknown');
  });
});

describe('the barrier during removal', () => {
  const at = (step: string, changes: Partial<Happening> = {}) => derive({ stage: 'removal', step, ...changes });

  it('counts the layers of earlier steps and of the step itself as off', () => {
    const picture = at('take-off-gown');
    expect(states(picture, 'trunk')).toEqual({ apron: 'off', gown: 'off' });
    expect(states(picture, 'hands')).toEqual({ 'outer-gloves': 'off', 'inner-gloves': 'intact' });
    expect(states(picture, 'eyes')).toEqual({ visor: 'intact' });
  });

  it('makes the same tear of an inner glove a breach to the skin once the outer gloves are off', () => {
    const partial: Breach = { ...innerTear, extent: 'partial' };
    expect(derive({ breaches: [partial] }).routes.intactSkin).toBe('no');
    const picture = at('take-off-apron', { breaches: [partial] });
    expect(picture.routes.intactSkin).toBe('yes');
    expect(picture.reasons).toContain(
      'Skin could have been reached: hands (outer gloves off; inner gloves failed in part).',
    );
  });

  it('leaves eyes and airway open from the steps at which eye protection and respirator come off', () => {
    const before = at('take-off-gown');
    expect(zone(before, 'eyes').reached).toBe('no');
    expect(before.routes.inhalation).toBe('no');

    const visorComingOff = at('take-off-visor');
    expect(zone(visorComingOff, 'eyes').reached).toBe('yes');
    expect(visorComingOff.routes.mucosaEye).toBe('unknown');
    expect(visorComingOff.routes.inhalation).toBe('no');

    const respiratorOff = at('take-off-hood');
    expect(zone(respiratorOff, 'mouthNose').reached).toBe('yes');
    expect(respiratorOff.routes.mucosaMouthNose).toBe('unknown');
    expect(respiratorOff.routes.inhalation).toBe('unknown');
  });

  it('takes the splash that was seen as certain when the eyes were open', () => {
    const picture = at('take-off-visor', { seen: { ...NOTHING_SEEN, eyeSplash: 'yes' } });
    expect(picture.routes.mucosaEye).toBe('yes');
    expect(picture.reasons).toContain('The eyes could have been reached: as seen.');
  });

  it('takes no layer as intact when nobody knows which step had been reached', () => {
    const picture = derive({ stage: 'removal', step: null });
    for (const name of ['hands', 'eyes', 'trunk'] as const) {
      expect(Object.values(states(picture, name))).toEqual(zone(picture, name).layers.map(() => 'unknown'));
      expect(zone(picture, name).reached).toBe('unknown');
    }
    expect(picture.routes.inhalation).toBe('unknown');
  });
});

describe('the barrier while putting on', () => {
  const at = (step: string, changes: Partial<Happening> = {}) => derive({ stage: 'donning', step, ...changes });

  it('shows what was on, what was going on and what was not on yet', () => {
    const picture = at('put-on-gown');
    expect(states(picture, 'trunk')).toEqual({ apron: 'not-on-yet', gown: 'not-on-yet' });
    expect(states(picture, 'hands')).toEqual({ 'outer-gloves': 'not-on-yet', 'inner-gloves': 'intact' });
  });

  it('has reached nothing when a glove tears and nothing soiled was there', () => {
    const picture = at('put-on-inner-gloves', { breaches: [innerTear], fluid: 'no' });
    expect(Object.values(picture.routes).every((answer) => answer === 'no')).toBe(true);
  });

  it('is in doubt only at the layer that failed while nobody said whether anything soiled was there', () => {
    const picture = at('put-on-inner-gloves', { breaches: [innerTear], fluid: 'unknown', foundWhole: [] });
    expect(picture.routes).toMatchObject({
      intactSkin: 'unknown',
      mucosaEye: 'no',
      inhalation: 'no',
      percutaneous: 'no',
    });
    expect(picture.zones.filter(({ reached }) => reached !== 'no').map((found) => found.zone)).toEqual(['hands']);
  });

  it('reaches what was bare when something soiled was there', () => {
    const picture = at('put-on-inner-gloves', { breaches: [innerTear], fluid: 'yes' });
    expect(picture.routes.intactSkin).toBe('yes');
    expect(picture.routes.mucosaEye).toBe('unknown');
  });
});

describe('the barrier after removal', () => {
  it('is gone, when something happened to a wearer without it', () => {
    const picture = derive({ stage: 'after-removal' });
    expect(Object.values(states(picture, 'hands'))).toEqual(['off', 'off']);
    expect(picture.routes).toMatchObject({ intactSkin: 'unknown', mucosaEye: 'unknown', inhalation: 'unknown' });
  });

  it('is judged as it was worn, when a failure was only found then', () => {
    const picture = derive({ stage: 'after-removal', breaches: [outerTear] });
    expect(states(picture, 'hands')).toEqual({ 'outer-gloves': 'total', 'inner-gloves': 'intact' });
    expect(picture.routes.intactSkin).toBe('no');
  });
});

describe('what was seen on the body', () => {
  it('overrides the derivation upward where it was seen', () => {
    const picture = derive({ seen: { ...NOTHING_SEEN, skinWet: 'yes', zones: ['forearms'] } });
    expect(zone(picture, 'forearms').reached).toBe('yes');
    expect(zone(picture, 'hands').reached).toBe('no');
    expect(picture.routes.intactSkin).toBe('yes');
    expect(picture.routes.brokenSkin).toBe('no');
  });

  it('counts when nobody said where, and when nothing wet was said to be there', () => {
    const picture = derive({ fluid: 'no', seen: { ...NOTHING_SEEN, skinWet: 'yes' } });
    expect(picture.routes.intactSkin).toBe('yes');
    expect(picture.reasons).toEqual(['Skin could have been reached: wet or cut skin was seen, nobody said where.']);
  });

  it('makes wet skin that was broken before a broken-skin contact, and leaves it in doubt while nobody said', () => {
    const wet = { ...NOTHING_SEEN, skinWet: 'yes' as const, zones: ['hands' as const] };
    expect(routes({ seen: { ...wet, brokenSkinBefore: 'yes' } }).brokenSkin).toBe('yes');
    expect(routes({ seen: { ...wet, brokenSkinBefore: 'unknown' } }).brokenSkin).toBe('unknown');
  });

  it('makes a cut an open way in, and a sharp possible', () => {
    const cut = { ...NOTHING_SEEN, skinCut: 'yes' as const, zones: ['hands' as const] };
    expect(routes({ seen: cut })).toMatchObject({ brokenSkin: 'yes', percutaneous: 'unknown' });
    expect(routes({ seen: cut, fluid: 'no' })).toMatchObject({ brokenSkin: 'unknown', percutaneous: 'unknown' });
  });

  it('never overrides downward', () => {
    expect(routes({ breaches: [outerTear, innerTear], seen: NOTHING_SEEN }).intactSkin).toBe('yes');
    expect(routes({ foundWhole: allBut('visor'), seen: NOTHING_SEEN }).mucosaEye).toBe('unknown');
  });
});

describe('clothing only', () => {
  const wetApron: Breach = { layer: 'apron', extent: 'partial', manner: 'wetting-through' };

  it('is said where a garment let something through and everything under it held', () => {
    const picture = derive({ breaches: [wetApron] });
    expect(picture.routes).toMatchObject({ clothingOnly: 'yes', intactSkin: 'no' });
  });

  it('is not "only" once skin was reached, and is in doubt while skin is', () => {
    const gown: Breach = { layer: 'gown', extent: 'total', manner: 'tear' };
    expect(routes({ breaches: [wetApron, gown] }).clothingOnly).toBe('no');
    expect(routes({ breaches: [wetApron], foundWhole: allBut('apron', 'gown') }).clothingOnly).toBe('unknown');
  });

  it('is not said of gloves, nor where nothing wet was there', () => {
    expect(routes({ breaches: [outerTear] }).clothingOnly).toBe('no');
    expect(routes({ breaches: [wetApron], fluid: 'no' }).clothingOnly).toBe('no');
  });
});

describe('a happening is refused', () => {
  const refusalOf = (changes: Partial<Happening>) => {
    try {
      derive(changes);
    } catch (error) {
      return error;
    }
    return 'accepted';
  };

  it('when a breach names a layer that the ensemble lacks', () => {
    const refusal = refusalOf({ breaches: [outerTear, { ...outerTear, layer: 'cape' }] });
    expect(refusal).toMatchObject({
      code: 'unknown-layer',
      pointer: '/breaches/1/layer',
      accepted: `one of: ${ALL_LAYERS.join(', ')}`,
    });
  });

  it('when a layer found whole is not of the ensemble', () => {
    expect(refusalOf({ foundWhole: ['gown', 'cape'] })).toMatchObject({
      code: 'unknown-layer',
      pointer: '/foundWhole/1',
    });
  });

  it('when the sequence has no such step', () => {
    const refusal = refusalOf({ stage: 'removal', step: 'put-on-gown' });
    expect(refusal).toMatchObject({ code: 'unknown-step', pointer: '/step' });
    expect((refusal as { accepted: string }).accepted).toContain('take-off-gown');
  });

  it.each(['patient-care', 'after-removal'] as const)('when %s is given a step, since it has none', (stage) => {
    expect(refusalOf({ stage, step: 'take-off-gown' })).toMatchObject({ code: 'unknown-step', pointer: '/step' });
  });

  it('when a layer is both breached in total and found whole', () => {
    const displaced: Breach = { layer: 'visor', extent: 'total', manner: 'displacement' };
    expect(refusalOf({ breaches: [displaced], foundWhole: ['gown', 'visor'] })).toMatchObject({
      code: 'contradictory-facts',
      pointer: '/foundWhole/1',
    });
  });

  it('when a layer is both torn, however little, and found whole', () => {
    const partial: Breach = { ...outerTear, extent: 'partial' };
    expect(refusalOf({ breaches: [partial], foundWhole: ['outer-gloves'] })).toMatchObject({
      code: 'contradictory-facts',
    });
  });

  it('but not when a layer slipped in part and was whole afterwards: the failure then counts', () => {
    const slipped: Breach = { layer: 'visor', extent: 'partial', manner: 'displacement' };
    expect(states(derive({ breaches: [slipped], foundWhole: ALL_LAYERS }), 'eyes')).toEqual({ visor: 'partial' });
  });

  it('when a layer failed after it had been taken off', () => {
    expect(refusalOf({ stage: 'removal', step: 'take-off-apron', breaches: [outerTear] })).toMatchObject({
      code: 'contradictory-facts',
      pointer: '/breaches/0/layer',
    });
    expect(refusalOf({ stage: 'removal', step: 'take-off-outer-gloves', breaches: [outerTear] })).toBe('accepted');
    expect(refusalOf({ stage: 'removal', step: null, breaches: [outerTear] })).toBe('accepted');
  });

  it('without repeating what was answered', () => {
    const refusal = refusalOf({ breaches: [{ ...outerTear, layer: 'Ms Example, HIV' }] }) as Error;
    expect(JSON.stringify({ ...refusal, message: refusal.message })).not.toContain('Example');
  });
});
