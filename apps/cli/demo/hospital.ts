import { addDays, type LocalDate } from '#domain';
import type { SiteSettings } from '#application';
import { Chance } from './chance.js';

/** An invented hospital. Its telephone numbers are from the ranges that are kept free for stories. */
export const HOSPITAL = {
  name: 'Westmere Teaching Hospital',
  timeZone: 'Europe/London',
  emergency: {
    words: 'Fever or any symptom: stop work, stay where you are, keep others away and telephone. Do not travel in.',
    telephone: '01632 960 999',
  },
  occupationalHealth: { telephone: '01632 960 111', email: 'occupational-health@westmere.example' },
  onCallClinician: { telephone: '01632 960 120' },
} as const satisfies Pick<SiteSettings, 'emergency' | 'occupationalHealth' | 'onCallClinician'> & {
  name: string;
  timeZone: string;
};

export const UNITS = [
  'High-level isolation unit',
  'Emergency department',
  'Intensive care unit',
  'Infectious diseases ward',
  'Maternity ward',
  'Laboratory',
] as const;
export type UnitName = (typeof UNITS)[number];

export interface DemoPerson {
  readonly name: string;
  readonly staffNumber: string;
  readonly dateOfBirth: LocalDate;
  readonly telephone: string;
  readonly email: string;
  readonly unit: UnitName;
  readonly job: string;
}

/** One sign-in a role, and a second nurse: some decisions take two. */
export const SIGN_INS = [
  { login: 'wearer', role: 'wearer', name: 'Maren Solvik', job: 'Staff nurse', unit: UNITS[0] },
  { login: 'nurse', role: 'nurse', name: 'Ruth Amado', job: 'Occupational health nurse', unit: UNITS[3] },
  { login: 'second-nurse', role: 'nurse', name: 'Piers Halloran', job: 'Occupational health nurse', unit: UNITS[3] },
  {
    login: 'infection-control',
    role: 'infection-control',
    name: 'Oluchi Brandt',
    job: 'Infection control nurse',
    unit: UNITS[3],
  },
  { login: 'manager', role: 'manager', name: 'Tobias Wren', job: 'Ward manager', unit: UNITS[0] },
] as const;
export const ADMINISTRATOR_LOGIN = 'administrator';
/** The teams whose duty list the manager reads. */
export const MANAGED_UNITS: readonly UnitName[] = [UNITS[0], UNITS[2]];

const PEOPLE = 120;

const FIRST_NAMES =
  'Adaeze Alba Anton Asha Beatriz Bela Caspar Chiara Dafydd Daria Edda Eilidh Emeka Farah Fintan Greta Gwen Hamza Hanne Idris Ines Jonas Joya Kavya Kofi Leila Lorcan Mirela Nadia Niamh Odile Omar Petra Quentin Rafe Rosa Sanjay Signe Soraya Tamsin Teodor Una Vera Wanda Yusuf Zofia Łucja Søren'.split(
    ' ',
  );
const LAST_NAMES =
  'Abara Ashdown Bellweather Birtles Calloway Castellane Dunmore Ekwueme Fairlie Farrow Garrick Gethin Harlan Hollis Ibarra Jessop Kestrel Kowalczyk Larkspur Lindqvist Marchetti Merrow Nakata Northcote Okonjo Oakhurst Pallister Pell Quill Rao Ravensworth Sandoval Thackeray Underhill Vance Varga Whitlock Yarrow Zeller Żurek'.split(
    ' ',
  );
const JOBS: Readonly<Record<UnitName, readonly string[]>> = {
  'High-level isolation unit': ['Staff nurse', 'Senior nurse', 'Consultant physician', 'Health-care assistant'],
  'Emergency department': ['Staff nurse', 'Emergency physician', 'Health-care assistant', 'Porter'],
  'Intensive care unit': ['Staff nurse', 'Intensive care physician', 'Physiotherapist', 'Health-care assistant'],
  'Infectious diseases ward': ['Staff nurse', 'Resident doctor', 'Health-care assistant', 'Cleaner'],
  'Maternity ward': ['Midwife', 'Obstetrician', 'Health-care assistant', 'Cleaner'],
  Laboratory: ['Biomedical scientist', 'Laboratory assistant', 'Microbiologist', 'Specimen porter'],
};

/** 120 invented people; those who sign in come first. */
export function peopleOf(seed: string, today: LocalDate): readonly DemoPerson[] {
  const chance = new Chance(`${seed}/people`);
  const taken = new Set<string>();
  return Array.from({ length: PEOPLE }, (_, index) => {
    const signIn = SIGN_INS[index];
    const unit = signIn?.unit ?? UNITS[index % UNITS.length] ?? UNITS[0];
    const name = signIn?.name ?? nameOf(chance, taken);
    taken.add(name);
    const login = name
      .normalize('NFKD')
      .toLowerCase()
      .replaceAll(/[^a-z]+/g, '.');
    return {
      name,
      staffNumber: `W-${20_400 + index * 7}`,
      dateOfBirth: addDays(today, -chance.between(22 * 365, 62 * 365)),
      telephone: `01632 960 ${200 + index}`,
      email: `${login}@westmere.example`,
      unit,
      job: signIn?.job ?? chance.oneOf(JOBS[unit]),
    };
  });
}

function nameOf(chance: Chance, taken: ReadonlySet<string>): string {
  for (;;) {
    const name = `${chance.oneOf(FIRST_NAMES)} ${chance.oneOf(LAST_NAMES)}`;
    if (!taken.has(name)) return name;
  }
}
