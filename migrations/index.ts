import { SitesAndPeople1764064800000 } from './1764064800000-sites-and-people.js';
import { Incidents1764064800001 } from './1764064800001-incidents.js';
import { FollowUp1764064800002 } from './1764064800002-follow-up.js';
import { Functions1764064800003 } from './1764064800003-functions.js';
import { Jobs1764064800004 } from './1764064800004-jobs.js';
import { FirstStatistics1764064800005 } from './1764064800005-first-statistics.js';

/** Every migration, oldest first. A new one is added below and none is edited once it has run anywhere that matters. */
export const migrations = [
  SitesAndPeople1764064800000,
  Incidents1764064800001,
  FollowUp1764064800002,
  Functions1764064800003,
  Jobs1764064800004,
  FirstStatistics1764064800005,
];
