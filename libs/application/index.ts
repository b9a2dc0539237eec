export * from './records/people.js';
export * from './records/incident.js';
export * from './records/followup.js';
export * from './ports/unit-of-work.js';
export * from './ports/accounts.js';
export * from './ports/letters.js';
