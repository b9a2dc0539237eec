import type { Evidence } from '../decision/evidence.js';
import type { AgentProfile, CategoryPlan } from './profile.js';

const read: Evidence = { grade: 'read', sources: [{ body: 'Specimen', title: 'Specimen guidance', year: '2026' }] };

/** A category of a specimen profile: two readings and one contact a day, away from patients. */
export function aCategory(changes: Partial<CategoryPlan> = {}): CategoryPlan {
  return {
    ...read,
    regime: 'active',
    readingsPerDay: 2,
    contactsPerDay: 1,
    followUp: true,
    restrictions: [{ ...read, code: 'no-care', words: 'No clinical activities', work: 'no-patient-contact' }],
    ...changes,
  };
}

/** A profile for specs: 21 days from the last exposure, one test, one prophylaxis, three categories. */
export function aProfile(changes: Partial<AgentProfile> = {}): AgentProfile {
  return {
    id: 'ebola/cdc@2014',
    agent: 'ebola',
    agentName: 'Ebola virus',
    authority: 'cdc',
    version: '2014',
    title: 'Specimen profile',
    validFrom: '2014-10-27',
    table: 'ebola-cdc-2014',
    window: { ...read, days: 21, from: 'last-exposure' },
    threshold: { ...read, value: '38.0', unit: 'Cel', operator: '>=', readings: 1, feltFeverCounts: true },
    symptoms: [{ ...read, code: 'vomiting', words: 'vomiting' }],
    tests: [{ ...read, code: 'pcr', words: 'PCR of blood', day: 3, toleranceDays: 1 }],
    prophylaxis: [{ ...read, code: 'antiviral', words: 'Antiviral', withinHours: 48 }],
    categories: {
      high: aCategory({
        regime: 'direct-active',
        restrictions: [{ ...read, code: 'excluded', words: 'Excluded from work', work: 'not-on-site' }],
      }),
      some: aCategory(),
      low: aCategory({ regime: 'passive', readingsPerDay: 0, contactsPerDay: 0, restrictions: [] }),
      none: aCategory({
        regime: 'none',
        readingsPerDay: 0,
        contactsPerDay: 0,
        followUp: false,
        restrictions: [],
      }),
    },
    strictest: 'high',
    cautions: ['A caution of the profile.'],
    ...changes,
  };
}
