import { describe, expect, it } from '@jest/globals';
import type { Site } from '../../api.js';
import {
  EMPTY_DRAFT,
  isEnough,
  layersToLookAt,
  questionAt,
  questionsOf,
  reportBodyOf,
  type Draft,
  type Question,
} from './draft.js';

const layer = (id: string, ...zones: string[]) => ({ id, name: id, zones, protections: [], checks: [] });

/** As much of a site as the questions read. */
const site = {
  timeZone: 'Europe/London',
  units: [
    { unitId: 'ward', name: 'Ward', ensembleId: 'full' },
    { unitId: 'laboratory', name: 'Laboratory', ensembleId: 'full' },
  ],
  ensembles: [
    {
      id: 'full',
      layers: [layer('outer-gloves', 'hands'), layer('gown', 'trunk', 'forearms'), layer('inner-gloves', 'hands')],
      removal: [],
    },
  ],
} as unknown as Site;
const ensemble = site.ensembles[0] as Site['ensembles'][number];

const tornGlove: Draft = {
  ...EMPTY_DRAFT,
  wearer: 'self',
  unitId: 'ward',
  what: { layers: ['outer-gloves'], lapses: [], caughtInTime: false },
  stage: 'patient-care',
  occurred: { from: '2026-11-25T09:00:00Z', until: '2026-11-25T09:20:00Z' },
  touched: { signs: ['skinWet'], lookedForTheRest: false },
  callMe: true,
};

const ids = { reportId: '01930000-0000-7000-8000-000000000000' };
const asked = (draft: Draft) => questionsOf(draft, site).map(({ id }) => id);

describe('the questions of a report', () => {
  it('begin with the few answers that are enough to send', () => {
    expect(asked(tornGlove).slice(0, 8)).toEqual([
      'wearer',
      'unit',
      'what',
      'extent',
      'manner',
      'stage',
      'occurred',
      'touched',
    ]);
    expect(isEnough(tornGlove)).toBe(true);
    expect(isEnough({ ...tornGlove, touched: undefined })).toBe(false);
  });

  it('ask how far and how for each layer that failed', () => {
    const two: Draft = { ...tornGlove, what: { layers: ['outer-gloves', 'gown'], lapses: [], caughtInTime: false } };
    const layers = questionsOf(two, site).flatMap((question) => ('layer' in question ? [question.layer] : []));
    expect(layers).toEqual(['outer-gloves', 'outer-gloves', 'gown', 'gown']);
  });

  it('ask for the step only while taking off, and not when the stage itself is not known', () => {
    expect(asked(tornGlove)).not.toContain('step');
    expect(asked({ ...tornGlove, stage: 'removal' })).toContain('step');
    expect(asked({ ...tornGlove, stage: 'removal', step: null, stageNotKnown: true })).not.toContain('step');
  });

  it('ask where only when the skin was wet or cut, and which infection only when something is known of it', () => {
    expect(asked(tornGlove)).toContain('touchedWhere');
    expect(asked({ ...tornGlove, touched: { signs: [], lookedForTheRest: true } })).not.toContain('touchedWhere');
    expect(asked({ ...tornGlove, certainty: 'unknown' })).not.toContain('agent');
    expect(asked({ ...tornGlove, certainty: 'suspected' })).toContain('agent');
  });

  it('do not ask a unit of a site that has one', () => {
    expect(questionsOf(tornGlove, { ...site, units: site.units.slice(0, 1) }).map(({ id }) => id)).not.toContain(
      'unit',
    );
  });

  it('look at the layers that share a zone with one that failed, at all of them when none is named', () => {
    expect(layersToLookAt(ensemble, tornGlove.what)).toEqual(['inner-gloves']);
    expect(layersToLookAt(ensemble, { layers: [], lapses: ['face-touched'], caughtInTime: false })).toHaveLength(3);
  });
});

describe('the report as it is sent', () => {
  it('leaves out what was not asked, so that it stays unknown', () => {
    const body = reportBodyOf(tornGlove, ids, site, false);
    expect(body).toEqual({
      reportId: ids.reportId,
      wearer: 'self',
      unitId: 'ward',
      kind: 'breach',
      occurred: { from: '2026-11-25T09:00:00Z', until: '2026-11-25T09:20:00Z', timeZone: 'Europe/London' },
      stage: 'patient-care',
      breaches: [{ layer: 'outer-gloves', extent: 'unknown', manner: 'unknown' }],
      lapses: [],
      foundWhole: [],
      seen: {
        skinWet: 'yes',
        skinCut: 'unknown',
        eyeSplash: 'unknown',
        mouthNoseSplash: 'unknown',
        sharpsInjury: 'unknown',
        brokenSkinBefore: 'unknown',
        zones: [],
      },
      callMe: true,
    });
  });

  it('says "no" of a sign only when somebody looked for it', () => {
    const looked = { ...tornGlove, touched: { signs: ['skinWet'], lookedForTheRest: true } } as const;
    expect(reportBodyOf(looked, ids, site, false).seen).toMatchObject({ skinWet: 'yes', skinCut: 'no' });
  });

  it('is a lapse when only a step went wrong, a near miss when it was caught, and a breach when nothing is clear', () => {
    const kindOf = (what: Draft['what']) => reportBodyOf({ ...tornGlove, what }, ids, site, false).kind;
    expect(kindOf({ layers: [], lapses: ['face-touched'], caughtInTime: false })).toBe('lapse');
    expect(kindOf({ layers: ['gown'], lapses: ['face-touched'], caughtInTime: false })).toBe('breach');
    expect(kindOf({ layers: [], lapses: [], caughtInTime: true })).toBe('near-miss');
    expect(kindOf({ layers: [], lapses: [], caughtInTime: false })).toBe('breach');
  });

  it('drops answers to questions that no longer stand', () => {
    const changed: Draft = { ...tornGlove, stage: 'after-removal', step: 'gown', leftAreaAt: '2026-11-25T09:30:00Z' };
    const body = reportBodyOf(changed, ids, site, false);
    expect(body.step).toBeUndefined();
    expect(body.leftAreaAt).toBeUndefined();
  });

  it('cannot be made from less than what is enough', () => {
    expect(() => reportBodyOf(EMPTY_DRAFT, ids, site, false)).toThrow();
  });
});

describe('a refusal', () => {
  it('leads to the question where the answer was given', () => {
    const at = (pointer: string): Question => questionAt(pointer, tornGlove);
    expect(at('/wearer/staffNumber')).toEqual({ id: 'wearer' });
    expect(at('/occurred/from')).toEqual({ id: 'occurred' });
    expect(at('/breaches/0/extent')).toEqual({ id: 'extent', layer: 'outer-gloves' });
    expect(at('/breaches/7/layer')).toEqual({ id: 'what' });
    expect(at('/seen/skinWet')).toEqual({ id: 'touched' });
  });
});
