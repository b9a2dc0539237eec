import { v7 } from 'uuid';
import type { Instant } from '#domain';
import { loadRulebook } from '#rulebook';
import { CredentialCheck } from '../access/credential-check.js';
import { AccountDirectory, PasswordHasher, type SessionRecord } from '../ports/accounts.js';
import type { Rulebook } from '../ports/rulebook.js';
import type { AccountRecord, Actor, PersonIdentity, PersonRecord, Role, SiteRecord } from '../records/people.js';
import { ReportIncident, type ReportIncidentCommand, type ReportedIncident } from '../reporting/report-incident.js';
import { SiteKnowledge } from '../reporting/site-knowledge.js';
import { ConfirmIdentity } from '../triage/confirm-identity.js';
import { Determine } from '../triage/determine.js';
import { HospitalInMemory, type Stored } from './hospital-in-memory.js';

/** Ids that can be told apart in a failing test. */
const id = (part: number) => `00000000-0000-7000-8000-${part.toString().padStart(12, '0')}`;

export const SITE_ID = id(1);
export const UNIT_ID = id(11);
export const OTHER_UNIT_ID = id(12);

export const WEARER_ID = id(101);
export const BUDDY_ID = id(102);
export const NURSE_ID = id(103);
export const SECOND_NURSE_ID = id(104);
export const MANAGER_ID = id(105);

/** A Wednesday morning in London. */
export const NOW: Instant = '2026-10-21T09:00:00Z';

export const SITE: SiteRecord = {
  siteId: SITE_ID,
  slug: 'saltmarsh',
  name: 'Saltmarsh General',
  timeZone: 'Europe/London',
  settings: {
    emergency: { words: 'Call the hospital emergency team', telephone: '2222' },
    occupationalHealth: { telephone: '020 7946 0100', email: 'oh@saltmarsh.example' },
    onCallClinician: { telephone: '020 7946 0199' },
    readingBands: { morning: { from: '06:00', until: '10:00' }, evening: { from: '18:00', until: '22:00' } },
    readingGraceMinutes: 60,
    acknowledgementPauseMinutes: 30,
    governing: [],
  },
};

interface Known {
  readonly personId: string;
  readonly role: Role;
  readonly name: string;
  readonly staffNumber: string;
}

const KNOWN: readonly Known[] = [
  { personId: WEARER_ID, role: 'wearer', name: 'Wren Ashdown', staffNumber: 'S1001' },
  { personId: BUDDY_ID, role: 'wearer', name: 'Bryn Castellan', staffNumber: 'S1002' },
  { personId: NURSE_ID, role: 'nurse', name: 'Nell Okonjo-Vale', staffNumber: 'S1003' },
  { personId: SECOND_NURSE_ID, role: 'nurse', name: 'Soren Applegarth', staffNumber: 'S1004' },
  { personId: MANAGER_ID, role: 'manager', name: 'Marit Dellinger', staffNumber: 'S1005' },
];

const accountIdOf = (personId: string) => personId.replace(/^0{8}/, '0000000a');

function actorFor({ personId, role }: Pick<Known, 'personId' | 'role'>): Actor {
  return {
    siteId: SITE_ID,
    role,
    accountId: accountIdOf(personId),
    personId,
    unitIds: role === 'manager' ? [UNIT_ID] : [],
  };
}

export const WEARER = actorFor({ personId: WEARER_ID, role: 'wearer' });
export const BUDDY = actorFor({ personId: BUDDY_ID, role: 'wearer' });
export const NURSE = actorFor({ personId: NURSE_ID, role: 'nurse' });
export const SECOND_NURSE = actorFor({ personId: SECOND_NURSE_ID, role: 'nurse' });
export const MANAGER = actorFor({ personId: MANAGER_ID, role: 'manager' });
export const INFECTION_CONTROL: Actor = { ...NURSE, role: 'infection-control', accountId: id(9001), personId: null };
export const ADMINISTRATOR: Actor = { ...NURSE, role: 'administrator', accountId: id(9002), personId: null };

export const PASSWORD = 'a pass phrase of some length';

function aPerson({ personId }: Known, index: number): PersonRecord {
  return {
    personId,
    unitId: UNIT_ID,
    pseudonym: `P-${index}`,
    rosterRef: id(501 + index),
    job: 'Staff nurse',
    timeZone: 'Europe/London',
  };
}

function anIdentity({ name, staffNumber }: Known): PersonIdentity {
  return { name, staffNumber, dateOfBirth: '1990-05-17', telephone: '07700 900123', email: null };
}

function anAccount({ personId, role, staffNumber }: Known): AccountRecord & { readonly passwordHash: string } {
  return {
    accountId: accountIdOf(personId),
    siteId: SITE_ID,
    personId,
    role,
    login: staffNumber.toLowerCase(),
    unitIds: role === 'manager' ? [UNIT_ID] : [],
    passwordHash: `hash of ${PASSWORD}`,
  };
}

let read: ReturnType<typeof loadRulebook> | undefined;
/** The shipped rulebook, read once a test file: a use case is tested with the rules it will run with. */
export function theRulebook(): ReturnType<typeof loadRulebook> {
  read ??= loadRulebook();
  return read;
}

function anEmptySite(rulebook: Rulebook): Stored {
  const [ensemble] = rulebook.ensembles();
  if (!ensemble) throw new Error('The rulebook has no ensemble.');
  const worn = { ensembleId: ensemble.id, ensembleVersion: ensemble.version };
  return {
    site: SITE,
    units: [
      { unitId: UNIT_ID, name: 'Isolation unit', ...worn },
      { unitId: OTHER_UNIT_ID, name: 'Emergency department', ...worn },
    ],
    confirmations: rulebook.tables().map(({ table, hash }) => ({
      subject: table.id,
      version: table.version,
      hash,
      confirmedBy: NURSE.accountId ?? '',
      confirmedByName: 'Nell Okonjo-Vale',
      at: '2026-09-01T08:00:00Z',
    })),
    accounts: KNOWN.map(anAccount),
    people: new Map(KNOWN.map((known, index) => [known.personId, aPerson(known, index)])),
    identities: new Map(KNOWN.map((known) => [known.personId, anIdentity(known)])),
    incidents: new Map(),
    tellings: [],
    assessments: [],
    determinations: [],
    plans: new Map(),
    checks: [],
    readings: [],
    releases: new Map(),
    alerts: new Map(),
    decisions: new Map(),
    dutyStatuses: new Map(),
    sources: new Map(),
    letters: new Map(),
    pdfs: new Map(),
    replays: [],
    ledger: [],
    outbox: [],
    woken: [],
  };
}

/** A hospital with two wearers, two nurses and a manager that has confirmed every table; nothing is reported yet. */
export function aHospital({ now = NOW }: { readonly now?: Instant } = {}): HospitalInMemory {
  return new HospitalInMemory(anEmptySite(theRulebook()), now);
}

/** A total tear of an outer glove beside blood, an hour before, by the wearer alone: open, and above level 0. */
export function aReport(changes: Partial<ReportIncidentCommand> = {}): ReportIncidentCommand {
  return {
    idempotencyKey: v7(),
    reportId: v7(),
    wearer: 'self',
    kind: 'breach',
    occurred: { from: '2026-10-21T08:00:00Z', timeZone: 'Europe/London' },
    stage: 'patient-care',
    breaches: [{ layer: 'outer-gloves', extent: 'total', manner: 'tear' }],
    fluid: 'blood',
    agent: 'ebola',
    certainty: 'confirmed',
    callMe: false,
    ...changes,
  };
}

/** Everything was worn and looked at, and nothing reached the wearer: settled, at the mildest category. */
export const NOTHING_REACHED: Partial<ReportIncidentCommand> = {
  task: 'personal-care',
  facts: { recommendedPpe: 'yes', handledSoiled: 'no' },
  foundWhole: ['apron', 'gown', 'visor', 'respirator', 'hood', 'footwear-covers', 'inner-gloves'],
  seen: {
    skinWet: 'no',
    skinCut: 'no',
    eyeSplash: 'no',
    mouthNoseSplash: 'no',
    sharpsInjury: 'no',
    brokenSkinBefore: 'no',
  },
};

/** Reports and answers with the body. */
export async function reported(
  hospital: HospitalInMemory,
  changes: Partial<ReportIncidentCommand> = {},
  actor: Actor = WEARER,
): Promise<ReportedIncident> {
  const report = new ReportIncident(hospital, theRulebook(), new SiteKnowledge());
  return (await report.execute(aReport(changes), actor)).body;
}

/** Sign-ins of the hospital's own accounts, without the cost of a real hash. */
export class DirectoryInMemory extends AccountDirectory {
  readonly sessions = new Map<string, SessionRecord>();

  constructor(private readonly hospital: HospitalInMemory) {
    super();
  }

  override async findByLogin(login: string) {
    const found = this.hospital.stored.accounts.find((account) => account.login === login);
    if (!found?.passwordHash) return null;
    const { passwordHash, ...account } = found;
    return { account, passwordHash };
  }

  override async openSession(account: AccountRecord, tokenHash: string): Promise<SessionRecord> {
    const session = { sessionId: v7(), account };
    this.sessions.set(tokenHash, session);
    return session;
  }

  override async findSession(tokenHash: string): Promise<SessionRecord | null> {
    return this.sessions.get(tokenHash) ?? null;
  }

  override async endSession(tokenHash: string): Promise<void> {
    this.sessions.delete(tokenHash);
  }
}

export class PlainHasher extends PasswordHasher {
  /** What was compared, so that a spec can see that the work was done for an unknown login too. */
  readonly compared: (string | null)[] = [];

  override async hash(password: string): Promise<string> {
    return `hash of ${password}`;
  }

  override async matches(stored: string | null, password: string): Promise<boolean> {
    this.compared.push(stored);
    return stored === `hash of ${password}`;
  }
}

export function credentialsOf(hospital: HospitalInMemory): CredentialCheck {
  return new CredentialCheck(new DirectoryInMemory(hospital), new PlainHasher());
}

/** The refusal of a request, for a spec to look at; fails when it was accepted. */
export async function refusalOf(request: () => Promise<unknown>): Promise<{
  readonly code?: string;
  readonly pointer?: string;
  readonly accepted?: string;
  readonly message: string;
}> {
  let answer: unknown;
  try {
    answer = await request();
  } catch (error) {
    if (error instanceof Error) return error;
    throw error;
  }
  throw new Error(`This was not refused: ${JSON.stringify(answer)}`);
}

/** Confirms the wearer's identity as a nurse does, so that a determination can be signed. */
export async function identified(hospital: HospitalInMemory, incidentId: string): Promise<void> {
  await new ConfirmIdentity(hospital).execute({ incidentId, staffNumber: 'S1001', dateOfBirth: '1990-05-17' }, NURSE);
}

/** Reported, identified, and confirmed by the nurse as it was assessed. */
export async function determined(
  hospital: HospitalInMemory,
  changes: Partial<ReportIncidentCommand> = {},
): Promise<ReportedIncident & { readonly planId: string }> {
  const report = await reported(hospital, changes);
  const { incidentId } = report;
  await identified(hospital, incidentId);
  const determine = new Determine(hospital, theRulebook(), credentialsOf(hospital));
  await determine.execute({ idempotencyKey: v7(), incidentId, onRevision: 1, decision: 'confirm' }, NURSE);
  return { ...report, planId: report.plan?.planId ?? '' };
}

/** The only one of a map. */
export function only<T>(map: ReadonlyMap<string, T>): T {
  const [value, ...more] = map.values();
  if (value === undefined || more.length > 0) throw new Error(`There are ${map.size} and not one.`);
  return value;
}
