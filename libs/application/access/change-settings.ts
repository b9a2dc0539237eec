import type { Rulebook } from '../ports/rulebook.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { Actor, SiteSettings } from '../records/people.js';
import type { SiteKnowledge } from '../reporting/site-knowledge.js';

/** Only what is changed. */
export type ChangeSettingsCommand = Partial<SiteSettings>;

export interface ChangedSettings {
  readonly settings: SiteSettings;
  /** What is still missing for three in the morning. */
  readonly warnings: readonly string[];
}

/** Changes the settings of the own site. */
export class ChangeSettings {
  constructor(
    protected readonly work: UnitOfWork,
    protected readonly rulebook: Rulebook,
    protected readonly sites: SiteKnowledge,
  ) {}

  execute(_command: ChangeSettingsCommand, _actor: Actor): Promise<ChangedSettings> {
    throw new Error('This use case is not built yet.');
  }
}
