/**
 * The one door of the pages to the service. Everything that a page reads or sends goes through the functions below; no page
 * knows an address or a status.
 */
import { createApiClient, newIdempotencyKey, type Schemas } from '#api-client';

export { newIdempotencyKey };

export type Session = Schemas['SessionResponse'];
export type Role = Session['role'];
export type Site = Schemas['SiteResponse'];
export type Settings = Schemas['SettingsResponse'];
export type SettingsChange = Schemas['SettingsBody'];
export type Ensemble = Schemas['EnsembleResponse'];
export type FirstAidStep = Schemas['FirstAidStepResponse'];
export type Worded = Schemas['WordedResponse'];
export type Source = Schemas['PublishedSourceResponse'];
export type EvidenceGrade = Schemas['RuleResponse']['grade'];
export type ReportBody = Schemas['ReportBody'];
export type ReportAnswer = Schemas['ReportedIncidentResponse'];
export type Advice = Schemas['AdviceResponse'];
export type BarrierPicture = Schemas['BarrierResponse'];
export type ZonePicture = Schemas['ZoneResponse'];
export type Zone = ZonePicture['zone'];
export type LayerState = Schemas['LayerStateResponse']['state'];
export type Ternary = ZonePicture['reached'];
export type ListedIncident = Schemas['ListedIncidentResponse'];
export type IncidentFile = Schemas['IncidentFileResponse'];
export type IncidentContent = Schemas['IncidentContentResponse'];
export type AssessmentRecord = Schemas['AssessmentRecordResponse'];
export type Amendment = Schemas['AmendmentBody'];
export type Wearer = Schemas['WearerResponse'];
export type Alert = Schemas['AlertResponse'];
export type ListedAlert = Schemas['ListedAlertResponse'];
export type AlertOutcome = Schemas['OutcomeBody']['outcome'];
export type Plan = Schemas['PlanResponse'];
export type Check = Schemas['CheckResponse'];
export type Reading = Schemas['ReadingResponse'];
export type ReadingBody = Schemas['ReadingBody'];
export type ReadingAnswer = Schemas['RecordedReadingResponse'];
export type TemperatureUnit = ReadingBody['unit'];
export type DutyLine = Schemas['DutyLineResponse'];
export type PermittedWork = DutyLine['work'];
export type Counts = Schemas['CountsResponse'];
export type TableCard = Schemas['TableCardResponse'];
export type TableSheet = Schemas['TableResponse'];
export type Letter = Schemas['LetterResponse'];
export type PatientSource = Schemas['SourceResponse'];
export type SourceStatusBody = Schemas['SourceStatusBody'];
export type DeterminationBody = Schemas['DeterminationBody'];
export type ReleaseBody = Schemas['ReleaseBody'];
export type Account = Schemas['AccountResponse'];
export type PersonBody = Schemas['PersonBody'];
export type SetupBody = Schemas['SetupBody'];

/** A refusal of the service, as RFC 9457 has it. */
export class Problem extends Error {
  constructor(
    readonly status: number,
    readonly code: string,
    readonly title: string,
    readonly detail: string,
    readonly errors: readonly { readonly pointer: string; readonly detail: string; readonly accepted?: string }[],
  ) {
    super(detail || title);
  }

  /** The session has ended; a password that was refused is something else. */
  get isSignedOut(): boolean {
    return this.code === 'unauthenticated';
  }
}

/** No answer came, or one that says nothing about what was sent: it may or may not have arrived. */
export class Unreachable extends Error {
  constructor(cause: unknown) {
    super('The service could not be reached.', { cause });
  }
}

/** How long a page waits for an answer before it says that there was none. */
const PATIENCE_MILLISECONDS = 20_000;

async function fetchWithPatience(request: Request): Promise<Response> {
  try {
    return await fetch(request, { signal: AbortSignal.timeout(PATIENCE_MILLISECONDS) });
  } catch (cause) {
    throw new Unreachable(cause);
  }
}

const client = createApiClient({ fetch: fetchWithPatience });

interface Outcome<Answer> {
  readonly data?: Answer;
  readonly error?: unknown;
  readonly response: Response;
}

async function answered<Answer>(outcome: Promise<Outcome<Answer>>): Promise<Answer> {
  const { data, error, response } = await outcome;
  if (response.ok) return data as Answer;
  throw refusalOf(response, error);
}

function refusalOf(response: Response, error: unknown): Problem | Unreachable {
  // A proxy's own error page, or a fault of the service, says nothing about what became of the request.
  const isTold = response.headers.get('content-type')?.includes('application/problem+json') ?? false;
  if (!isTold || response.status >= 500) return new Unreachable(response.status);
  const told = error as Partial<Schemas['ProblemResponse']>;
  return new Problem(
    response.status,
    told.type?.split('/').at(-1) ?? 'refused',
    told.title ?? 'Refused',
    told.detail ?? '',
    (told.errors ?? []).map(({ pointer, parameter, ...rest }) => ({
      ...rest,
      pointer: pointer ?? `/${parameter ?? ''}`,
    })),
  );
}

const keyed = (key: string) => ({ 'Idempotency-Key': key });
const onRevision = (revision: number) => ({ 'If-Match': `"${revision}"` });

export const api = {
  session: () => answered(client.GET('/api/v1/session')),
  signIn: (login: string, password: string) => answered(client.POST('/api/v1/session', { body: { login, password } })),
  signOut: () => answered(client.DELETE('/api/v1/session')),

  setUp: (body: SetupBody) => answered(client.POST('/api/v1/setup', { body })),

  site: () => answered(client.GET('/api/v1/sites/mine')),
  changeSettings: (body: SettingsChange) => answered(client.PATCH('/api/v1/sites/mine', { body })),

  report: (body: ReportBody, key: string) =>
    answered(client.POST('/api/v1/incidents', { body, params: { header: keyed(key) } })),
  incidents: (query: { state?: ListedIncident['state']; cursor?: string; limit?: number }) =>
    answered(client.GET('/api/v1/incidents', { params: { query } })),
  incident: (incidentId: string) =>
    answered(client.GET('/api/v1/incidents/{incidentId}', { params: { path: { incidentId } } })),
  amend: (incidentId: string, revision: number, body: Amendment) =>
    answered(
      client.POST('/api/v1/incidents/{incidentId}/amendments', {
        body,
        params: { path: { incidentId }, header: onRevision(revision) },
      }),
    ),
  confirmIdentity: (incidentId: string, body: { staffNumber: string; dateOfBirth: string }) =>
    answered(
      client.POST('/api/v1/incidents/{incidentId}/identity-confirmations', { body, params: { path: { incidentId } } }),
    ),
  determine: (body: DeterminationBody, revision: number, key: string) =>
    answered(
      client.POST('/api/v1/determinations', { body, params: { header: { ...keyed(key), ...onRevision(revision) } } }),
    ),

  plans: () => answered(client.GET('/api/v1/plans')),
  release: (planId: string, body: ReleaseBody, key: string) =>
    answered(client.POST('/api/v1/plans/{planId}/release', { body, params: { path: { planId }, header: keyed(key) } })),
  readings: (planId: string) => answered(client.GET('/api/v1/readings', { params: { query: { planId } } })),
  recordReading: (body: ReadingBody, key: string) =>
    answered(client.POST('/api/v1/readings', { body, params: { header: keyed(key) } })),

  openAlerts: () => answered(client.GET('/api/v1/alerts', { params: { query: { open: 'true' } } })),
  acknowledge: (alertId: string) =>
    answered(client.POST('/api/v1/alerts/{alertId}/acknowledgements', { params: { path: { alertId } } })),
  closeAlert: (alertId: string, body: { outcome: AlertOutcome; decided: string }) =>
    answered(client.POST('/api/v1/alerts/{alertId}/outcomes', { body, params: { path: { alertId } } })),

  dutyStatuses: () => answered(client.GET('/api/v1/duty-statuses')),

  sources: () => answered(client.GET('/api/v1/sources')),
  createSource: (pseudonym: string) => answered(client.POST('/api/v1/sources', { body: { pseudonym } })),
  changeSource: (sourceId: string, body: SourceStatusBody) =>
    answered(client.POST('/api/v1/sources/{sourceId}/statuses', { body, params: { path: { sourceId } } })),

  draftLetter: (incidentId: string) =>
    answered(client.POST('/api/v1/letters', { body: { incidentId, kind: 'referral' } })),
  signLetter: (letterId: string) =>
    answered(client.POST('/api/v1/letters/{letterId}/signature', { params: { path: { letterId } } })),
  /** Opens in a window of its own; the browser shows the document. */
  letterAddress: (letterId: string) => `/api/v1/letters/${encodeURIComponent(letterId)}/letter.pdf`,

  counts: (from: string, until: string) =>
    answered(client.GET('/api/v1/trends/counts', { params: { query: { from, until } } })),

  tables: () => answered(client.GET('/api/v1/tables')),
  table: (ref: string) => answered(client.GET('/api/v1/tables/{ref}', { params: { path: { ref } } })),
  confirmTable: (ref: string, rules: string[]) =>
    answered(client.POST('/api/v1/tables/{ref}/confirmations', { body: { rules }, params: { path: { ref } } })),

  people: () => answered(client.GET('/api/v1/people')),
  addPerson: (body: PersonBody) => answered(client.POST('/api/v1/people', { body })),
};
