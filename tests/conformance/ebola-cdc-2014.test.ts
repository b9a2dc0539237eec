import { describe, expect, it } from '@jest/globals';
import { assess } from '#domain';
import { book, describeOpen, describeRows, type Publication } from './published-rows.js';

const PUBLICATION: Publication = {
  table: 'ebola-cdc-2014',
  body: 'CDC',
  title: 'Epidemiologic risk factors, Ebola',
  year: '28 May 2015',
  nothingHappened: {
    percutaneous: 'no',
    mucosaEye: 'no',
    mucosaMouthNose: 'no',
    brokenSkin: 'no',
    intactSkin: 'no',
    bodyFluid: 'no',
    sourceIllness: 'later',
    ppeBreach: 'no',
    recommendedPpe: 'yes',
    touchedPatient: 'no',
    handledSoiled: 'no',
    activity: 'none-of-these',
    widespreadTransmission: 'no',
    treatmentUnit: 'no',
    distanceMetres: 20,
    prolongedContact: 'no',
    daysSinceExposure: 3,
  },
};
const TRAVELERS = {
  body: 'CDC',
  title: 'Evaluating international travelers for level of risk',
  year: '16 December 2014',
};

const HIGH = {
  category: 'High risk',
  level: 3,
  actions: [
    'direct-active-monitoring',
    'movement-orders',
    'no-public-transport-or-gatherings',
    'work-excluded',
    'travel-restricted',
  ],
} as const;
const SOME = {
  category: 'Some risk',
  level: 2,
  actions: ['direct-active-monitoring-some', 'movement-case-by-case', 'work-case-by-case', 'travel-coordinated'],
} as const;
const LOW = {
  category: 'Low (but not zero) risk',
  level: 1,
  actions: ['active-monitoring', 'no-movement-restriction', 'no-work-restriction', 'travel-allowed-with-monitoring'],
} as const;
const NONE = { category: 'No identifiable risk', level: 0, actions: ['no-monitoring'] } as const;

describeRows(PUBLICATION, [
  {
    row: 'E1',
    says: 'a needlestick with blood of an ill patient, in full protective equipment',
    facts: { percutaneous: 'yes', bodyFluid: 'yes', activity: 'care', touchedPatient: 'yes', distanceMetres: 0 },
    ...HIGH,
  },
  {
    row: 'E2',
    says: 'a splash into the eye',
    facts: { mucosaEye: 'yes', bodyFluid: 'yes', activity: 'care', distanceMetres: 0.5 },
    ...HIGH,
  },
  {
    row: 'E2',
    says: 'a splash to nose or mouth in another country',
    facts: { mucosaMouthNose: 'yes', bodyFluid: 'yes', activity: 'care', widespreadTransmission: 'yes' },
    ...HIGH,
  },
  {
    row: 'E3',
    says: 'touching the patient without appropriate protective equipment',
    facts: { touchedPatient: 'yes', recommendedPpe: 'no', activity: 'care', distanceMetres: 0 },
    ...HIGH,
  },
  {
    row: 'E3',
    says: 'fluid on healthy skin through a torn glove',
    facts: {
      intactSkin: 'yes',
      bodyFluid: 'yes',
      ppeBreach: 'yes',
      activity: 'care',
      touchedPatient: 'yes',
      distanceMetres: 0,
    },
    ...HIGH,
  },
  {
    row: 'E4',
    says: 'processing blood in a laboratory without protective equipment or biosafety',
    facts: { activity: 'laboratory', handledSoiled: 'yes', bodyFluid: 'yes', recommendedPpe: 'no' },
    ...HIGH,
  },
  {
    row: 'E5',
    says: 'touching a body without protective equipment where transmission is widespread',
    facts: {
      activity: 'after-death',
      touchedPatient: 'yes',
      recommendedPpe: 'no',
      widespreadTransmission: 'yes',
      distanceMetres: 0,
    },
    ...HIGH,
  },
  {
    row: 'E6',
    says: 'direct household care of an ill patient',
    facts: { activity: 'household', touchedPatient: 'yes', distanceMetres: 0 },
    ...HIGH,
  },
  {
    row: 'E7',
    says: 'prolonged close contact within 3 feet without protective equipment in a hospital',
    facts: { activity: 'in-room', recommendedPpe: 'no', distanceMetres: '0.9144', prolongedContact: 'yes' },
    ...SOME,
  },
  {
    row: 'E7',
    says: 'prolonged close contact within 1 metre without protective equipment',
    facts: { activity: 'in-room', recommendedPpe: 'no', distanceMetres: 1, prolongedContact: 'yes' },
    ...SOME,
  },
  {
    row: 'E8',
    says: 'direct contact in appropriate protective equipment where transmission is widespread',
    facts: { activity: 'care', touchedPatient: 'yes', widespreadTransmission: 'yes', distanceMetres: 0 },
    ...SOME,
  },
  {
    row: 'E9',
    says: 'being in the patient-care area of an Ebola unit where transmission is widespread',
    facts: { activity: 'in-room', treatmentUnit: 'yes', widespreadTransmission: 'yes' },
    ...SOME,
  },
  {
    row: 'E10',
    says: 'direct care outside an Ebola unit where transmission is widespread',
    facts: { activity: 'care', treatmentUnit: 'no', widespreadTransmission: 'yes' },
    ...SOME,
  },
  {
    row: 'E11',
    says: 'direct contact in appropriate protective equipment where transmission is not widespread',
    facts: { activity: 'care', touchedPatient: 'yes', distanceMetres: 0 },
    from: TRAVELERS,
    ...LOW,
    actions: [...LOW.actions, 'direct-active-monitoring-after-protected-care'],
  },
  {
    row: 'E12',
    says: 'a handshake early in the illness without protective equipment',
    facts: {
      touchedPatient: 'yes',
      recommendedPpe: 'no',
      sourceIllness: 'early',
      prolongedContact: 'no',
      distanceMetres: 0,
    },
    from: TRAVELERS,
    ...LOW,
  },
  {
    row: 'E13',
    says: 'a short time in the room of an ill patient',
    facts: { activity: 'in-room', recommendedPpe: 'no', distanceMetres: 3, prolongedContact: 'no' },
    from: TRAVELERS,
    ...LOW,
  },
  {
    row: 'E14',
    says: 'presence in an affected country without known exposure, 21 days ago',
    facts: { activity: 'affected-country', daysSinceExposure: 21 },
    from: TRAVELERS,
    ...LOW,
  },
  {
    row: 'E15',
    says: 'the same aircraft as an ill patient',
    facts: { activity: 'aircraft' },
    from: TRAVELERS,
    ...LOW,
  },
  {
    row: 'E16',
    says: 'contact before the patient became ill',
    facts: {
      activity: 'care',
      touchedPatient: 'yes',
      recommendedPpe: 'no',
      sourceIllness: 'not-yet-ill',
      distanceMetres: 0,
    },
    from: TRAVELERS,
    ...NONE,
  },
  {
    row: 'E17',
    says: 'having left the affected country more than 21 days ago',
    facts: { activity: 'affected-country', daysSinceExposure: 22 },
    from: TRAVELERS,
    ...NONE,
  },
  {
    row: 'E18',
    says: 'work in a level 4 laboratory',
    facts: { activity: 'containment-laboratory', handledSoiled: 'yes', bodyFluid: 'yes' },
    from: { body: 'CDC', title: 'Change note to the epidemiologic risk factors', year: 'November 2014' },
    ...NONE,
  },
]);

describeOpen(PUBLICATION, [
  [
    'a needlestick from a patient who was not ill yet',
    { percutaneous: 'yes', bodyFluid: 'yes', sourceIllness: 'not-yet-ill' },
    'open-penetrating-before-illness',
  ],
  [
    'an outer glove torn over an inner glove that was whole',
    { ppeBreach: 'yes', activity: 'care', touchedPatient: 'yes', bodyFluid: 'yes', distanceMetres: 0 },
    'open-contained-breach',
  ],
  [
    'a long time in the room, farther than 1 metre, without protective equipment',
    { activity: 'in-room', recommendedPpe: 'no', distanceMetres: 3, prolongedContact: 'yes' },
    'open',
  ],
]);

describe('CDC: Epidemiologic risk factors, Ebola, beside the rows', () => {
  it('never ranks less contact in the same protection above the published row on protected contact', () => {
    const facts = { ...PUBLICATION.nothingHappened, activity: 'in-room', handledSoiled: 'yes', bodyFluid: 'yes' };
    expect(assess(book.table('ebola-cdc-2014'), facts)).toMatchObject({
      category: 'Low (but not zero) risk',
      rule: 'within-E11',
      grade: 'derived',
    });
  });

  it('takes 3 feet and 1 metre as two lines, of which the wider one counts', () => {
    const at = (distanceMetres: string) =>
      assess(book.table('ebola-cdc-2014'), {
        ...PUBLICATION.nothingHappened,
        activity: 'in-room',
        recommendedPpe: 'no',
        prolongedContact: 'yes',
        distanceMetres,
      });
    expect(at('0.9144')).toMatchObject({ category: 'Some risk', rule: 'E7', grade: 'second-hand' });
    expect(at('0.9145')).toMatchObject({ category: 'Some risk', rule: 'E7-metre', grade: 'derived' });
    expect(at('1.0001')).toMatchObject({ categoryId: 'not-classified' });
  });

  it('says that whoever touched the patient was within reach', () => {
    expect(() => assess(book.table('ebola-cdc-2014'), { touchedPatient: 'yes', distanceMetres: 4 })).toThrow(
      /touchedPatient.+distanceMetres|distanceMetres.+touchedPatient/,
    );
  });
});
