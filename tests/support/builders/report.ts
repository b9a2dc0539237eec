import { randomUUID } from 'node:crypto';
import { v7 } from 'uuid';
import type { Assessment, BarrierPicture, FollowUpPlan, PlannedCheck, Source } from '#domain';
import type {
  AcceptedReport,
  AlertRecord,
  AssessmentRecord,
  IncidentContent,
  IncidentRecord,
  PlanRecord,
  TellingRecord,
} from '#application';
import type { TestPerson, TestSite } from './site.js';

const SOURCE: Source = { body: 'Test body', title: 'A test table', year: '2026', section: 'row 1' };

/** The coded answers of a torn outer glove during care. */
export function content(changes: Partial<IncidentContent> = {}): IncidentContent {
  return {
    kind: 'breach',
    occurred: { from: '2026-11-20T22:10:00Z', until: '2026-11-20T22:20:00Z', timeZone: 'Europe/London' },
    leftAreaAt: '2026-11-20T22:25:00Z',
    stage: 'patient-care',
    step: null,
    breaches: [
      { layer: 'outer-gloves', extent: 'total', manner: 'tear' },
      { layer: 'gown', extent: 'partial', manner: 'wetting-through' },
    ],
    lapses: ['face-touched'],
    foundWhole: ['inner-gloves'],
    task: 'personal-care',
    fluid: 'blood',
    seen: {
      skinWet: 'unknown',
      skinCut: 'no',
      zones: [],
      eyeSplash: 'no',
      mouthNoseSplash: 'no',
      sharpsInjury: 'no',
      brokenSkinBefore: 'unknown',
    },
    firstAid: [{ action: 'washed-soap-and-water', at: '2026-11-20T22:30:00Z' }],
    anyoneElse: 'unknown',
    agent: 'ebola',
    certainty: 'confirmed',
    callMe: true,
    facts: { contactMinutes: { min: 5, max: 10 }, aerosolProcedure: null },
    confirmedImplausible: false,
    ...changes,
  };
}

export function assessment(changes: Partial<Assessment> = {}): Assessment {
  return {
    table: 'test-table',
    version: '1',
    hash: 'a'.repeat(64),
    category: 'High risk, in the words of the table',
    categoryId: 'high',
    actions: [{ code: 'monitor', words: 'Monitor twice a day', atOnce: true, grade: 'read', sources: [SOURCE] }],
    level: 3,
    settled: false,
    reachable: ['High risk, in the words of the table', 'Low risk'],
    openQuestions: [
      { fact: 'skinWet', values: ['yes', 'no'], settlesAlone: true, leaves: { yes: ['High'], no: ['Low'] } },
    ],
    rule: null,
    grade: 'read',
    sources: [SOURCE],
    explanation: { words: 'Because.', row: null, factsUsed: { agent: 'ebola' }, adjustments: [], nearestChange: null },
    cautions: ['A test caution'],
    ...changes,
  };
}

const barrier: BarrierPicture = {
  ensemble: 'full',
  zones: [
    {
      zone: 'hands',
      layers: [
        { layer: 'outer-gloves', state: 'total' },
        { layer: 'inner-gloves', state: 'intact' },
      ],
      reached: 'no',
    },
  ],
  routes: {
    percutaneous: 'no',
    mucosaEye: 'no',
    mucosaMouthNose: 'no',
    brokenSkin: 'unknown',
    intactSkin: 'unknown',
    inhalation: 'no',
    clothingOnly: 'yes',
  },
  reasons: ['The gown was wet through.'],
};

/** A check as the domain plans it; readings from the given local date on, morning and evening. */
export function plannedCheck(key: string, changes: Partial<PlannedCheck> = {}): PlannedCheck {
  return {
    key,
    kind: 'reading',
    profile: 'ebola/test@1',
    localDate: '2026-11-21',
    slot: 'morning',
    ordinal: 1,
    dueFrom: '2026-11-21T06:00:00+00:00',
    dueUntil: '2026-11-21T10:00:00+00:00',
    label: 'Morning reading',
    source: SOURCE,
    grade: 'read',
    ...changes,
  };
}

/** 21 days of two readings, a review and a release. */
export function followUpPlan(changes: Partial<FollowUpPlan> = {}): FollowUpPlan {
  const readings = Array.from({ length: 42 }, (_, index): PlannedCheck => {
    const date = new Date(Date.UTC(2026, 10, 21 + (index >> 1))).toISOString().slice(0, 10);
    const evening = index % 2 === 1;
    return plannedCheck(`reading/${date}/${evening ? 'evening' : 'morning'}`, {
      localDate: date,
      slot: evening ? 'evening' : 'morning',
      ordinal: index + 1,
      dueFrom: `${date}T${evening ? '18' : '06'}:00:00+00:00`,
      dueUntil: `${date}T${evening ? '22' : '10'}:00:00+00:00`,
      label: evening ? 'Evening reading' : 'Morning reading',
    });
  });
  return {
    profiles: ['ebola/test@1'],
    category: 'high',
    regime: 'direct-active',
    dayZero: '2026-11-20',
    lastDay: '2026-12-11',
    timeZone: 'Europe/London',
    checks: [
      plannedCheck('review/1', {
        kind: 'review',
        slot: null,
        dueFrom: '2026-11-21T00:00:00+00:00',
        dueUntil: '2026-11-21T17:00:00+00:00',
        label: 'First review',
        source: { ...SOURCE, section: 'row 2' },
        grade: 'derived',
      }),
      ...readings,
      plannedCheck('release/1', {
        kind: 'release',
        slot: null,
        localDate: '2026-12-11',
        dueFrom: '2026-12-11T22:00:00+00:00',
        dueUntil: '2026-12-12T00:00:00+00:00',
        label: 'Release',
      }),
    ],
    restrictions: [
      {
        code: 'no-care',
        words: 'No patient contact',
        work: 'no-patient-contact',
        profile: 'ebola/test@1',
        from: '2026-11-20',
        until: '2026-12-11',
        source: SOURCE,
        grade: 'read',
      },
    ],
    thresholds: [
      {
        profile: 'ebola/test@1',
        value: '38.0',
        unit: 'Cel',
        operator: '>=',
        readings: 1,
        feltFeverCounts: true,
        grade: 'read',
        sources: [SOURCE],
      },
    ],
    symptoms: [{ code: 'headache', words: 'Severe headache', grade: 'read', sources: [SOURCE] }],
    cautions: [],
    ...changes,
  };
}

export interface ReportChanges {
  readonly about?: TestPerson;
  readonly by?: TestPerson;
  readonly at?: string;
  readonly content?: Partial<IncidentContent>;
  readonly assessment?: Partial<Assessment>;
  readonly account?: string | null;
  readonly plan?: FollowUpPlan | null;
  readonly reportId?: string;
  readonly eventId?: string;
  readonly sourceId?: string | null;
}

/** A report as the use case hands it over: by the wearer about themselves unless told otherwise, valid by default. */
export function acceptedReport(site: TestSite, changes: ReportChanges = {}): AcceptedReport {
  const about = changes.about ?? site.wearer;
  const by = changes.by ?? about;
  const at = changes.at ?? '2026-11-20T23:00:00.123Z';
  const incidentId = v7();
  const planId = v7();
  const told = content(changes.content);
  const incident: IncidentRecord = {
    incidentId,
    eventId: changes.eventId ?? v7(),
    reportId: changes.reportId ?? v7(),
    personId: about.personId,
    unitId: about.unitId,
    ensembleId: 'full',
    ensembleVersion: '1',
    state: 'open',
    revision: 1,
    sourceId: changes.sourceId ?? null,
    reportedAt: at,
    reportedByAccount: by.actor.accountId,
    identityConfirmedAt: null,
    content: told,
  };
  const telling: TellingRecord = {
    incidentId,
    revision: 1,
    kind: 'report',
    content: told,
    account: changes.account === undefined ? 'canary text: the glove caught on the bed rail' : changes.account,
    buddy: changes.account === null ? null : 'canary buddy',
    byAccount: by.actor.accountId,
    at,
  };
  const assessed: AssessmentRecord = {
    assessmentId: v7(),
    incidentId,
    revision: 1,
    factsVersion: 'facts/v1',
    facts: { agent: 'ebola', contactMinutes: { min: 5, max: 10 }, skinWet: null },
    result: assessment(changes.assessment),
    barrier,
    profile: 'ebola/test@1',
    governing: 'The site names it.',
    madeAt: at,
  };
  const plan: PlanRecord | null =
    changes.plan === null
      ? null
      : {
          planId,
          personId: about.personId,
          incidentId,
          revision: 1,
          basis: 'interim',
          determinationId: null,
          state: 'running',
          plan: changes.plan ?? followUpPlan(),
          releasedAt: null,
        };
  const alert = alertRecord({ incidentId, personId: about.personId, planId: plan?.planId ?? null, raisedAt: at });
  return {
    incident,
    telling,
    assessment: assessed,
    plan,
    dutyStatus: {
      personId: about.personId,
      rosterRef: about.rosterRef,
      unitId: about.unitId,
      work: 'not-rostered-until-decided',
      untilDate: null,
      nextReviewDate: '2026-11-21',
      setBy: 'report',
    },
    alerts: [alert],
    outbox: [
      {
        messageId: v7(),
        siteId: site.site.siteId,
        alertId: alert.alertId,
        recipient: 'oh@hospital.example',
        subject: 'An entry waits for you',
        text: 'Sign in to read it.',
        attempts: 0,
      },
    ],
    ledger: [
      {
        action: 'incident.reported',
        subjectKind: 'incident',
        subjectId: incidentId,
        personId: about.personId,
        detail: { revision: 1 },
      },
      {
        action: 'assessment.made',
        subjectKind: 'assessment',
        subjectId: assessed.assessmentId,
        personId: about.personId,
        detail: { table: 'test-table', settled: false },
      },
    ],
    replay: {
      principal: by.actor.accountId ?? '',
      route: 'POST /incidents',
      key: randomUUID(),
      fingerprint: 'f'.repeat(64),
      status: 201,
      body: { incidentId, nested: { list: [1, 'two', null] } },
      etag: '"1"',
    },
  };
}

/** An open call-back. */
export function alertRecord(
  changes: Partial<AlertRecord> & Pick<AlertRecord, 'incidentId' | 'personId' | 'planId'>,
): AlertRecord {
  return {
    alertId: v7(),
    alertKey: `${changes.incidentId}/call-back/1`,
    kind: 'call-back',
    checkKey: null,
    reasons: ['The wearer asks to be called.'],
    raisedAt: '2026-11-20T23:00:00.000Z',
    acknowledgedBy: null,
    acknowledgedAt: null,
    pausedUntil: null,
    outcome: null,
    closedBy: null,
    closedAt: null,
    ...changes,
  };
}
