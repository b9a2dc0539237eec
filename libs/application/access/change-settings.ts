import { DomainError } from '#domain';
import { ledgerEntry } from '../ledger-entries.js';
import type { Rulebook } from '../ports/rulebook.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { Actor, SiteSettings } from '../records/people.js';
import { UnacceptableEntry } from '../refusals.js';
import type { SiteKnowledge } from '../reporting/site-knowledge.js';
import { authorise } from './authorise.js';

/** Only what is changed. */
export type ChangeSettingsCommand = Partial<SiteSettings>;

export interface ChangedSettings {
  readonly settings: SiteSettings;
  /** What is still missing for three in the morning. */
  readonly warnings: readonly string[];
}

const CLOCK_TIME = /^([01]\d|2[0-3]):[0-5]\d$/;

function insist(holds: boolean, pointer: string, accepted: string): void {
  if (!holds) throw new UnacceptableEntry('This setting cannot be used.', { pointer, accepted });
}

function requireTelephone(text: string, pointer: string): void {
  insist(/^[+0-9][0-9 ()/.-]{1,39}$/.test(text), pointer, 'a telephone number of digits, spaces and + ( ) / . -');
}

function requireMinutes(minutes: number, pointer: string): void {
  insist(Number.isInteger(minutes) && minutes >= 1 && minutes <= 1440, pointer, 'whole minutes from 1 to 1440');
}

function requireBands({ morning, evening }: SiteSettings['readingBands']): void {
  for (const [name, band] of Object.entries({ morning, evening })) {
    for (const end of ['from', 'until'] as const) {
      insist(CLOCK_TIME.test(band[end]), `/readingBands/${name}/${end}`, 'a time of day, HH:MM');
    }
    insist(band.from < band.until, `/readingBands/${name}/until`, `a time after ${band.from} on the same day`);
  }
  insist(morning.until <= evening.from, '/readingBands/evening/from', `a time not before ${morning.until}`);
}

/** Tells apart "the rulebook has it" from a defect: only a refusal means that it has not. */
function exists(find: () => unknown): boolean {
  try {
    find();
    return true;
  } catch (error) {
    if (error instanceof DomainError) return false;
    throw error;
  }
}

/** Refuses settings that could not be used, naming the field. */
export function checkSettings(settings: SiteSettings, rulebook: Rulebook): void {
  insist(settings.emergency.words.trim() !== '', '/emergency/words', 'what to do in an emergency, in a few words');
  requireTelephone(settings.emergency.telephone, '/emergency/telephone');
  requireTelephone(settings.occupationalHealth.telephone, '/occupationalHealth/telephone');
  insist(
    /^[^\s@]+@[^\s@]+$/.test(settings.occupationalHealth.email),
    '/occupationalHealth/email',
    'the mail address of occupational health',
  );
  if (settings.onCallClinician) requireTelephone(settings.onCallClinician.telephone, '/onCallClinician/telephone');
  requireBands(settings.readingBands);
  requireMinutes(settings.readingGraceMinutes, '/readingGraceMinutes');
  requireMinutes(settings.acknowledgementPauseMinutes, '/acknowledgementPauseMinutes');
  const agents = rulebook.agents().map(({ code }) => code);
  settings.governing.forEach(({ agent, table, profile }, index) => {
    const at = `/governing/${index}`;
    insist(agents.includes(agent), `${at}/agent`, `one of: ${agents.join(', ')}`);
    insist(
      exists(() => rulebook.table(table)),
      `${at}/table`,
      'the id of a table in the rulebook, or id@version',
    );
    insist(
      exists(() => rulebook.profile(profile)),
      `${at}/profile`,
      'a profile of the rulebook, as agent/authority or agent/authority@version',
    );
  });
}

/** Changes the settings of the own site. */
export class ChangeSettings {
  constructor(
    private readonly work: UnitOfWork,
    private readonly rulebook: Rulebook,
    private readonly sites: SiteKnowledge,
  ) {}

  async execute(command: ChangeSettingsCommand, actor: Actor): Promise<ChangedSettings> {
    authorise(actor, 'settings.change');
    const changed = await this.work.run(actor, async (tx) => {
      const { settings: current } = await tx.site.read();
      const settings: SiteSettings = { ...current, ...command };
      checkSettings(settings, this.rulebook);
      await tx.site.changeSettings(settings);
      await tx.ledger.append(
        ledgerEntry('settings.changed', { kind: 'site', id: actor.siteId }, { fields: Object.keys(command).join(' ') }),
      );
      return settings;
    });
    this.sites.forget(actor.siteId);
    return { settings: changed, warnings: warningsOf(changed) };
  }
}

function warningsOf({ onCallClinician }: SiteSettings): string[] {
  return onCallClinician === null
    ? ['No on-call clinician is named: an alert at night reaches a mailbox, which wakes nobody.']
    : [];
}
