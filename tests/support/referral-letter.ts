import type { Ensemble, LayerState, Source, Zone, ZonePicture } from '#domain';
import type { ReferralLetter } from '#application';

const commonPractice: Source = { body: 'Common practice', title: 'Ensemble of this example', year: '2026' };

const layer = (id: string, name: string, zones: readonly Zone[]) => ({
  id,
  name,
  zones,
  protections: ['splash'] as const,
  checks: [],
});

/** A small ensemble with the shape of a real one, so that a letter can be tested without the rulebook. */
export const exampleEnsemble: Ensemble = {
  id: 'example-ensemble',
  version: '1',
  name: 'Example ensemble for high-consequence infection',
  needsLocalConfirmation: true,
  grade: 'remembered',
  sources: [commonPractice],
  layers: [
    layer('outer-gloves', 'Outer nitrile gloves', ['hands', 'forearms']),
    layer('apron', 'Long-sleeved apron', ['trunk', 'forearms', 'legs']),
    layer('gown', 'Fluid-repellent gown', ['trunk', 'forearms', 'legs', 'neck']),
    layer('visor', 'Visor', ['eyes', 'face', 'mouthNose']),
    layer('respirator', 'FFP3 respirator', ['mouthNose']),
    layer('hood', 'Hood', ['head', 'neck', 'face']),
    layer('footwear-covers', 'Footwear covers', ['feet']),
    layer('inner-gloves', 'Inner nitrile gloves', ['hands', 'forearms']),
  ],
  donning: [],
  removal: [
    { id: 'take-off-outer-gloves', words: 'Take off the outer gloves, inside out', layers: ['outer-gloves'] },
    { id: 'take-off-apron', words: 'Break the apron’s ties and roll it away from you', layers: ['apron'] },
  ],
  buddy: { layers: ['apron'], duties: ['Reads each step aloud'] },
  breachRules: { donning: {}, patientCare: [], removal: [], exceptions: {}, emergencyRemoval: [] },
};

const zone = (
  name: Zone,
  layers: readonly (readonly [string, LayerState])[],
  reached: ZonePicture['reached'],
): ZonePicture => ({ zone: name, layers: layers.map(([id, state]) => ({ layer: id, state })), reached });

const authority: Source = {
  body: 'An authority of this example',
  title: 'Exposure of staff to haemorrhagic fever',
  year: '2023',
  section: 'Table 2, row 3',
  address: 'https://authority.example/exposure',
};

/** A referral with every field filled; `changes` replaces fields. */
export function aReferral(changes: Partial<ReferralLetter> = {}): ReferralLetter {
  return {
    letterId: '0198c0de-0000-7000-8000-00000000a001',
    incidentId: '0198c0de-0000-7000-8000-00000000b002',
    revision: 3,
    siteName: 'Westmere Teaching Hospital',
    unitName: 'High-level isolation unit',
    occupationalHealth: { telephone: '01632 960 111', email: 'oh@westmere.example' },
    emergency: {
      words: 'Fever or any symptom: stop work, stay where you are, keep others away and telephone. Do not travel in.',
      telephone: '01632 960 999',
    },
    wearer: { name: 'Maren Solvik', staffNumber: 'W-20417', job: 'Staff nurse', telephone: '01632 960 204' },
    buddy: 'Idris Pell',
    reportedAt: '2026-11-24T03:31:00Z',
    content: {
      kind: 'breach',
      occurred: { from: '2026-11-24T03:05:00Z', until: '2026-11-24T03:12:00Z', timeZone: 'Europe/London' },
      leftAreaAt: '2026-11-24T03:16:00Z',
      stage: 'removal',
      step: 'take-off-apron',
      breaches: [
        { layer: 'inner-gloves', extent: 'total', manner: 'tear' },
        { layer: 'gown', extent: 'partial', manner: 'wetting-through' },
      ],
      lapses: ['soiled-surface-touched'],
      foundWhole: ['hood', 'respirator'],
      task: 'cleaning-spill',
      fluid: 'vomit',
      seen: {
        skinWet: 'yes',
        skinCut: 'no',
        zones: ['hands'],
        eyeSplash: 'no',
        mouthNoseSplash: 'no',
        sharpsInjury: 'no',
        brokenSkinBefore: 'unknown',
      },
      firstAid: [{ action: 'washed-soap-and-water', at: '2026-11-24T03:20:00Z' }],
      anyoneElse: 'no',
      agent: 'ebola',
      certainty: 'confirmed',
      callMe: true,
      facts: { contactMinutes: { min: '1', max: '5' }, aerosolProcedure: 'no' },
      confirmedImplausible: false,
    },
    agentName: 'Ebola disease',
    account: [
      'I was taking off the apron when I felt the left inner glove give at the thumb. The outer gloves were already off.',
      'My buddy said stop. We disinfected the gloved hands and went on slowly. When the glove came off the thumb was wet.',
    ].join('\n'),
    ensemble: exampleEnsemble,
    barrier: {
      ensemble: 'example-ensemble@1',
      zones: [
        zone(
          'hands',
          [
            ['outer-gloves', 'off'],
            ['inner-gloves', 'total'],
          ],
          'yes',
        ),
        zone(
          'forearms',
          [
            ['outer-gloves', 'off'],
            ['apron', 'unknown'],
            ['gown', 'partial'],
            ['inner-gloves', 'total'],
          ],
          'unknown',
        ),
        zone(
          'trunk',
          [
            ['apron', 'unknown'],
            ['gown', 'partial'],
          ],
          'unknown',
        ),
        zone(
          'legs',
          [
            ['apron', 'unknown'],
            ['gown', 'unknown'],
          ],
          'unknown',
        ),
        zone('feet', [['footwear-covers', 'unknown']], 'unknown'),
        zone(
          'neck',
          [
            ['gown', 'unknown'],
            ['hood', 'intact'],
          ],
          'no',
        ),
        zone('head', [['hood', 'intact']], 'no'),
        zone(
          'face',
          [
            ['visor', 'unknown'],
            ['hood', 'intact'],
          ],
          'no',
        ),
        zone('eyes', [['visor', 'unknown']], 'no'),
        zone(
          'mouthNose',
          [
            ['visor', 'unknown'],
            ['respirator', 'intact'],
          ],
          'no',
        ),
      ],
      routes: {
        percutaneous: 'no',
        mucosaEye: 'no',
        mucosaMouthNose: 'no',
        brokenSkin: 'unknown',
        intactSkin: 'yes',
        inhalation: 'no',
        clothingOnly: 'no',
      },
      reasons: [
        'Intact skin: the inner gloves tore after the outer gloves were off, and the skin was seen wet.',
        'Broken skin: it is not known whether the skin under the glove was whole beforehand.',
      ],
    },
    assessment: {
      table: 'example-vhf',
      version: '2023',
      hash: '9f2c4be1a07d5512cc0e3a6f1d8b7c64e2a9530f4416b8d97e0c1a2b3d4e5f60',
      category: 'High-risk exposure',
      categoryId: 'high-risk',
      actions: [
        {
          code: 'monitor',
          words: 'Active monitoring for 21 days after the last exposure',
          atOnce: true,
          grade: 'read',
          sources: [authority],
        },
        {
          code: 'exclude',
          words: 'No patient contact until 21 days after the last unprotected exposure',
          atOnce: true,
          grade: 'second-hand',
          sources: [authority, { body: 'A regional reprint', title: 'Return to work', year: '2024' }],
        },
      ],
      level: 3,
      settled: false,
      reachable: ['High-risk exposure', 'No identified risk'],
      openQuestions: [
        {
          fact: 'brokenSkin',
          values: ['yes', 'no'],
          settlesAlone: true,
          leaves: { yes: ['High-risk exposure'], no: ['High-risk exposure', 'No identified risk'] },
        },
        {
          fact: 'fluidVisible',
          values: ['yes', 'no'],
          settlesAlone: false,
          leaves: { yes: ['High-risk exposure'], no: ['No identified risk'] },
        },
      ],
      rule: 'skin-contact',
      grade: 'second-hand',
      sources: [authority],
      explanation: {
        words:
          'Skin was reached by a body fluid of a person with confirmed disease. The rule for skin contact may fire; one question is open.',
        row: 'Table 2, row 3',
        factsUsed: { intactSkin: 'yes', fluid: 'body-fluid', certainty: 'confirmed' },
        adjustments: [{ id: 'aerosol', words: 'Raised one level for a procedure on the airway.' }],
        nearestChange: {
          changes: [{ fact: 'intactSkin', from: 'yes', to: 'no' }],
          category: 'No identified risk',
        },
      },
      cautions: ['The authority revised its page in 2024; the table follows the earlier text.'],
    },
    factWords: {
      intactSkin: { question: 'Did fluid reach intact skin?', values: { yes: 'yes', no: 'no' } },
      brokenSkin: { question: 'Was the skin there broken?' },
      fluid: { question: 'What fluid was it?', values: { 'body-fluid': 'a body fluid' } },
    },
    determination: {
      category: 'High-risk exposure',
      departs: false,
      reason: 'Spoken to at 08:40; the account stands.',
      signedBy: 'Ruth Amado, occupational health nurse',
      secondClinician: 'Piers Halloran, occupational health nurse',
      at: '2026-11-24T08:55:00Z',
    },
    plan: {
      dayZero: '2026-11-24',
      lastDay: '2026-12-15',
      timeZone: 'Europe/London',
      restrictions: [
        'No patient contact until the end of 15 December 2026',
        'Travel only after agreement with occupational health',
      ],
      regime: 'direct-active',
      windowSource: authority,
      windowGrade: 'read',
    },
    adviceGiven: [
      'Wash the skin with soap and running water',
      'Do not scrub and do not squeeze',
      'Take your temperature twice a day',
    ],
    question: 'Please confirm or correct the category, and say whether prophylaxis should be offered and by when.',
    signature: null,
    paper: 'A4',
    ...changes,
  };
}
