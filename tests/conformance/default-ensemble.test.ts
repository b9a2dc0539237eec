import { describe, expect, it } from '@jest/globals';
import { deriveBarrier, type Breach, type Happening, type Seen } from '#domain';
import { book } from './published-rows.js';

const ENSEMBLE = book.ensemble('full-barrier');
const NOTHING_SEEN: Seen = {
  skinWet: 'no',
  skinCut: 'no',
  zones: [],
  eyeSplash: 'no',
  mouthNoseSplash: 'no',
  sharpsInjury: 'no',
  brokenSkinBefore: 'no',
};
const TEAR: Breach = { layer: 'outer-gloves', extent: 'total', manner: 'tear' };
const happening = (changes: Partial<Happening>): Happening => ({
  stage: 'patient-care',
  step: null,
  breaches: [TEAR],
  foundWhole: ENSEMBLE.layers.map(({ id }) => id).filter((id) => id !== 'outer-gloves'),
  fluid: 'yes',
  seen: NOTHING_SEEN,
  ...changes,
});

describe('the default ensemble', () => {
  it('goes on in this order', () => {
    expect(ENSEMBLE.donning.flatMap(({ layers }) => layers)).toEqual([
      'footwear-covers',
      'inner-gloves',
      'hood',
      'gown',
      'apron',
      'respirator',
      'visor',
      'outer-gloves',
    ]);
  });

  it('comes off in this order, and then the hands are washed and sanitised', () => {
    expect(ENSEMBLE.removal.flatMap(({ layers }) => layers)).toEqual([
      'outer-gloves',
      'apron',
      'gown',
      'visor',
      'respirator',
      'hood',
      'footwear-covers',
      'inner-gloves',
    ]);
    expect(ENSEMBLE.removal.at(-1)?.words).toMatch(/soap and water.+sanitise/);
  });

  it('is common practice from memory and waits for a local confirmation', () => {
    expect(ENSEMBLE).toMatchObject({ needsLocalConfirmation: true, grade: 'remembered' });
    expect(ENSEMBLE.sources.map(({ body }) => body)).toEqual(['Common practice']);
  });

  it('says what to do for every layer that fails while putting on: start again for an inner glove, replace an outer one', () => {
    const { donning } = ENSEMBLE.breachRules;
    expect(Object.keys(donning).sort()).toEqual(ENSEMBLE.layers.map(({ id }) => id).sort());
    expect(donning['inner-gloves']).toMatch(/start again/);
    expect(donning['outer-gloves']).toMatch(/Replace it/);
  });

  it('has the rule for care and the rule for removal, the exceptions by route and the emergency', () => {
    const { patientCare, removal, exceptions, emergencyRemoval } = ENSEMBLE.breachRules;
    expect(patientCare.join(' ')).toMatch(/Nothing is altered in the patient area.+leave at once for the removal area/);
    expect(removal.map((words) => words.split(/[.,]/)[0])).toEqual([
      'Stop',
      'Say it',
      'Disinfect the gloved hands',
      'Go on slowly',
      'Have the risk assessed once everything is off and first aid is done',
    ]);
    expect(Object.keys(exceptions)).toEqual(expect.arrayContaining(['percutaneous', 'mucosaEye']));
    expect(emergencyRemoval[0]).toMatch(/collapsed.+emergency number/);
  });

  it('covers every zone of the body, so that no zone is open before anything has failed', () => {
    const whole = happening({ breaches: [], foundWhole: ENSEMBLE.layers.map(({ id }) => id) });
    expect(Object.values(deriveBarrier(ENSEMBLE, whole).routes)).toEqual(Array(7).fill('no'));
  });

  it('holds when an outer glove tears over an inner glove that was found whole, and is in doubt when nobody looked', () => {
    expect(deriveBarrier(ENSEMBLE, happening({})).routes.intactSkin).toBe('no');
    expect(deriveBarrier(ENSEMBLE, happening({ foundWhole: [] })).routes.intactSkin).toBe('unknown');
  });

  it.each([
    ['take-off-gown', 'no', 'no'],
    ['take-off-visor', 'yes', 'no'],
    ['take-off-respirator', 'yes', 'yes'],
    ['take-off-hood', 'yes', 'yes'],
    ['take-off-inner-gloves', 'yes', 'yes'],
  ])('at the step %s leaves the eyes open: %s, and the airway open: %s', (step, eyes, airway) => {
    const { zones } = deriveBarrier(ENSEMBLE, happening({ stage: 'removal', step, breaches: [] }));
    const open = (name: string) =>
      zones.find(({ zone }) => zone === name)?.layers.every(({ state }) => state === 'off') ? 'yes' : 'no';
    expect([open('eyes'), open('mouthNose')]).toEqual([eyes, airway]);
  });

  it('has a buddy who wears apron, gloves, eye protection and respirator, reads aloud and keeps a distance', () => {
    expect(ENSEMBLE.buddy.layers).toEqual(['Apron', 'Gloves', 'Eye protection', 'Respirator']);
    expect(ENSEMBLE.buddy.duties.join(' ')).toMatch(/Read each stage aloud.+Stand at a distance/);
  });
});
