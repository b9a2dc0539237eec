import { DomainError } from '../refusal.js';

/** The profile plans for no such category. */
export class UnknownCategory extends DomainError {
  constructor(categories: readonly string[]) {
    super('unknown-category', 'The profile has no plan for this category.', {
      pointer: '/category',
      accepted: `one of: ${categories.join(', ')}; or none, for the strictest`,
    });
  }
}

/** There is nothing to count from. */
export class NoExposure extends DomainError {
  constructor() {
    super('no-exposure', 'A plan needs the instant of at least one exposure.', {
      pointer: '/exposures',
      accepted: 'one RFC 3339 instant or more, for example 2026-10-20T08:00:00+01:00',
    });
  }
}

/** The bands are no two parts of one day in order. */
export class UnusableBands extends DomainError {
  constructor() {
    super('unusable-bands', 'The reading times do not make a morning and an evening of one day.', {
      pointer: '/readingBands',
      accepted:
        'HH:MM, in order: morning from < morning until <= evening from < evening until, for example 06:00-10:00, 18:00-22:00',
    });
  }
}

/** Plans of one person are joined on one wall clock; whoever travels is planned anew in the new zone first. */
export class DifferentTimeZones extends DomainError {
  constructor() {
    super('different-time-zones', 'Plans to be joined are counted in different time zones.', {
      accepted: 'plans that were all made in the zone the person is in',
    });
  }
}
