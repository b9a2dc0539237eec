import { describe, expect, it } from '@jest/globals';
import { v7 } from 'uuid';
import { ALERT_OUTCOMES, type AlertKind } from '../records/followup.js';
import type { Actor } from '../records/people.js';
import {
  aHospital,
  determined,
  INFECTION_CONTROL,
  MANAGER,
  NURSE,
  NURSE_ID,
  refusalOf,
  reported,
  SECOND_NURSE,
  WEARER,
  WEARER_ID,
} from '../testing/hospital.fixture.js';
import type { HospitalInMemory } from '../testing/hospital-in-memory.js';
import { AcknowledgeAlert } from './acknowledge-alert.js';
import { CloseAlert } from './close-alert.js';
import { ListAlerts } from './list-alerts.js';
import { RecordReading } from './record-reading.js';

function alertOf({ stored }: HospitalInMemory, kind: AlertKind = 'call-back') {
  const alert = [...stored.alerts.values()].find((one) => one.kind === kind);
  if (!alert) throw new Error(`No ${kind} was raised.`);
  return alert;
}

async function aCallBack() {
  const hospital = aHospital();
  await reported(hospital);
  const { alertId } = alertOf(hospital);
  return { hospital, alertId };
}

async function aFever() {
  const hospital = aHospital();
  const { planId } = await determined(hospital);
  hospital.now = '2026-10-22T07:30:00Z';
  await new RecordReading(hospital).execute(
    { idempotencyKey: v7(), planId, at: hospital.now, timeZone: 'Europe/London', value: '38.6', unit: 'Cel' },
    WEARER,
  );
  return { hospital, alertId: alertOf(hospital, 'fever').alertId };
}

const WELL = {
  outcome: 'spoken-to-well',
  decided: 'Spoken to at once; temperature 36.7 on two thermometers.',
} as const;

describe('acknowledging an alert', () => {
  it('pauses it for the time that the site has set, and does not close it', async () => {
    const { hospital, alertId } = await aCallBack();

    expect(await new AcknowledgeAlert(hospital).execute({ alertId }, NURSE)).toEqual({
      alertId,
      pausedUntil: '2026-10-21T09:30:00Z',
    });
    expect(hospital.stored.alerts.get(alertId)).toMatchObject({
      acknowledgedBy: NURSE.accountId,
      acknowledgedAt: hospital.now,
      closedAt: null,
      outcome: null,
    });
  });

  it('is refused once the alert is closed', async () => {
    const { hospital, alertId } = await aCallBack();
    await new CloseAlert(hospital).execute({ alertId, ...WELL }, NURSE);

    expect(await refusalOf(() => new AcknowledgeAlert(hospital).execute({ alertId }, NURSE))).toMatchObject({
      code: 'conflict',
    });
  });
});

describe('closing an alert', () => {
  it('records who decided what, and when', async () => {
    const { hospital, alertId } = await aCallBack();

    expect(await new CloseAlert(hospital).execute({ alertId, ...WELL }, NURSE)).toEqual({
      alertId,
      outcome: 'spoken-to-well',
      closedAt: hospital.now,
    });
    expect(hospital.stored.alerts.get(alertId)).toMatchObject({ closedBy: NURSE.accountId, outcome: 'spoken-to-well' });
    expect(hospital.stored.decisions.get(alertId)).toBe(WELL.decided);
    expect(JSON.stringify(hospital.stored.ledger.at(-1))).not.toContain('36.7');
  });

  it('is refused without what was decided, and a second time', async () => {
    const { hospital, alertId } = await aCallBack();
    const close = new CloseAlert(hospital);

    expect(await refusalOf(() => close.execute({ alertId, ...WELL, decided: '  ' }, NURSE))).toMatchObject({
      code: 'unacceptable-answer',
      pointer: '/decided',
    });
    await close.execute({ alertId, ...WELL }, NURSE);
    expect(await refusalOf(() => close.execute({ alertId, ...WELL }, NURSE))).toMatchObject({ code: 'conflict' });
  });

  it.each<AlertKind>(['call-back', 'fever', 'symptom', 'prophylaxis-deadline'])(
    'of the kind %s takes somebody who was reached',
    async (kind) => {
      const { hospital, alertId } = await aCallBack();
      const alert = alertOf(hospital);
      hospital.stored.alerts.set(alertId, { ...alert, kind });
      const close = (outcome: (typeof ALERT_OUTCOMES)[number]) =>
        new CloseAlert(hospital).execute({ alertId, outcome, decided: 'Tried three times.' }, NURSE);

      expect(await refusalOf(() => close('not-reached'))).toMatchObject({ pointer: '/outcome' });
      expect(hospital.stored.alerts.get(alertId)?.closedAt).toBeNull();
      await close('spoken-to-well');
    },
  );

  it('may say “not reached” of a missed reading', async () => {
    const { hospital, alertId } = await aCallBack();
    hospital.stored.alerts.set(alertId, { ...alertOf(hospital), kind: 'missed-reading' });
    await new CloseAlert(hospital).execute({ alertId, outcome: 'not-reached', decided: 'Tries again tonight.' }, NURSE);

    expect(hospital.stored.alerts.get(alertId)?.outcome).toBe('not-reached');
  });

  it('gives back after a fever what the plan permits, once nothing is open', async () => {
    const { hospital, alertId } = await aFever();
    expect(hospital.stored.dutyStatuses.get(WEARER_ID)?.work).toBe('not-rostered-until-decided');
    await new CloseAlert(hospital).execute({ alertId, ...WELL }, NURSE);

    expect(hospital.stored.dutyStatuses.get(WEARER_ID)).toMatchObject({ work: 'remote-only', setBy: 'nurse' });
  });

  it('keeps somebody away who was sent for assessment', async () => {
    const { hospital, alertId } = await aFever();
    await new CloseAlert(hospital).execute(
      { alertId, outcome: 'spoken-to-sent-for-assessment', decided: 'Sent by ambulance, unit told.' },
      NURSE,
    );

    expect(hospital.stored.dutyStatuses.get(WEARER_ID)?.work).toBe('not-rostered-until-decided');
  });
});

describe('an alert', () => {
  const answers = (hospital: HospitalInMemory, alertId: string, actor: Actor) => [
    () => new AcknowledgeAlert(hospital).execute({ alertId }, actor),
    () => new CloseAlert(hospital).execute({ alertId, ...WELL }, actor),
  ];

  it('is answered by nobody about themselves', async () => {
    const { hospital, alertId } = await aCallBack();
    hospital.stored.alerts.set(alertId, { ...alertOf(hospital), personId: NURSE_ID });

    for (const answer of answers(hospital, alertId, NURSE)) {
      expect(await refusalOf(answer)).toMatchObject({ code: 'own-case' });
    }
    await new AcknowledgeAlert(hospital).execute({ alertId }, SECOND_NURSE);
  });

  it.each([
    ['a wearer', WEARER],
    ['infection control', INFECTION_CONTROL],
    ['a manager', MANAGER],
  ])('is neither read nor answered by %s', async (_, actor) => {
    const { hospital, alertId } = await aCallBack();

    for (const request of [...answers(hospital, alertId, actor), () => new ListAlerts(hospital).execute({}, actor)]) {
      expect(await refusalOf(async () => request())).toMatchObject({ code: 'forbidden' });
    }
  });

  it('that does not exist is not found', async () => {
    const { hospital } = await aCallBack();

    for (const answer of answers(hospital, v7(), NURSE)) {
      expect(await refusalOf(answer)).toMatchObject({ code: 'not-found' });
    }
  });
});

describe('the list of alerts', () => {
  it('puts the most urgent kind first, then the oldest, with whom to telephone', async () => {
    const { hospital } = await aFever();
    hospital.now = '2026-10-22T08:00:00Z';
    await reported(hospital);
    const alerts = await new ListAlerts(hospital).execute({ open: true }, NURSE);

    expect(alerts.map(({ kind }) => kind)).toEqual(['fever', 'call-back', 'call-back']);
    expect(alerts[0]?.wearer).toMatchObject({ name: 'Wren Ashdown', telephone: '07700 900123' });
    expect(alerts[1]?.raisedAt).toBe('2026-10-21T09:00:00Z');
  });

  it('notes each person once in the ledger', async () => {
    const { hospital } = await aFever();
    const before = hospital.stored.ledger.length;
    await new ListAlerts(hospital).execute({}, NURSE);

    expect(hospital.stored.ledger.slice(before)).toEqual([
      expect.objectContaining({ action: 'alerts.read', personId: WEARER_ID }),
    ]);
  });

  it('shows the open ones, or those of one incident', async () => {
    const { hospital, alertId } = await aCallBack();
    const { incidentId } = await reported(hospital);
    await new CloseAlert(hospital).execute({ alertId, ...WELL }, NURSE);
    const list = new ListAlerts(hospital);

    expect((await list.execute({ open: true }, NURSE)).map((alert) => alert.incidentId)).toEqual([incidentId]);
    expect((await list.execute({ open: false }, NURSE)).map((alert) => alert.alertId)).toEqual([alertId]);
    expect(await list.execute({ incidentId }, NURSE)).toHaveLength(1);
    expect(await list.execute({}, NURSE)).toHaveLength(2);
  });
});
