import { describe, expect, it } from '@jest/globals';
import { v7 } from 'uuid';
import {
  aHospital,
  BUDDY,
  determined,
  MANAGER,
  NURSE,
  refusalOf,
  reported,
  WEARER,
  WEARER_ID,
} from '../testing/hospital.fixture.js';
import type { HospitalInMemory } from '../testing/hospital-in-memory.js';
import { ListReadings } from './list-readings.js';
import { RecordReading, type RecordReadingCommand } from './record-reading.js';

async function aFollowUp() {
  const hospital = aHospital();
  const { plan } = await reported(hospital);
  hospital.now = '2026-10-22T07:30:00Z';
  const planId = plan?.planId ?? '';
  const reading = (changes: Partial<RecordReadingCommand> = {}): RecordReadingCommand => ({
    idempotencyKey: v7(),
    planId,
    at: '2026-10-22T07:30:00Z',
    timeZone: 'Europe/London',
    value: '36.8',
    unit: 'Cel',
    measurementSite: 'ear',
    antipyreticTaken: 'no',
    feltFever: 'no',
    ...changes,
  });
  return { hospital, planId, reading, record: new RecordReading(hospital) };
}

const stateOf = ({ stored }: HospitalInMemory, key: string) => stored.checks.find((check) => check.key === key)?.state;
const opened = ({ stored }: HospitalInMemory, kind: string) =>
  [...stored.alerts.values()].filter((alert) => alert.kind === kind);

describe('a reading', () => {
  it('answers the slot that it belongs to and raises nothing when it is well below the threshold', async () => {
    const { hospital, reading, record } = await aFollowUp();
    const { outcome, body } = await record.execute(reading(), WEARER);

    expect(outcome).toBe('new');
    expect(body).toMatchObject({ alertId: null, advice: null, checkKey: 'reading/2026-10-22/morning' });
    expect(body.judgement).toMatchObject({ alert: null, reassuring: true });
    expect(stateOf(hospital, 'reading/2026-10-22/morning')).toBe('done');
    expect(hospital.stored.readings).toEqual([
      expect.objectContaining({ personId: WEARER_ID, enteredBy: WEARER.accountId, value: '36.8', unit: 'Cel' }),
    ]);
  });

  it('raises a fever with a neutral mail, says to stop and telephone, and holds the wearer from the roster', async () => {
    const hospital = aHospital();
    const { planId } = await determined(hospital);
    hospital.now = '2026-10-22T07:30:00Z';
    expect(hospital.stored.dutyStatuses.get(WEARER_ID)?.work).not.toBe('not-rostered-until-decided');
    const before = hospital.stored.outbox.length;
    const { body } = await new RecordReading(hospital).execute(
      {
        idempotencyKey: v7(),
        planId,
        at: '2026-10-22T07:30:00Z',
        timeZone: 'Europe/London',
        value: '38.4',
        unit: 'Cel',
      },
      WEARER,
    );

    expect(body.judgement.alert).toBe('fever');
    expect(opened(hospital, 'fever').map(({ alertId }) => alertId)).toEqual([body.alertId]);
    expect(body.advice?.emergency.telephone).toBe('2222');
    expect(body.advice?.actions.join(' ')).toMatch(/Stop work.*alone.*do not travel in/);
    expect(hospital.stored.outbox).toHaveLength(before + 1);
    const mail = hospital.stored.outbox.at(-1);
    expect(`${mail?.subject} ${mail?.text}`).not.toMatch(/fever|38\.4|temperature|Wren/i);
    expect(hospital.stored.dutyStatuses.get(WEARER_ID)).toMatchObject({
      work: 'not-rostered-until-decided',
      nextReviewDate: '2026-10-23',
    });
  });

  it('raises a symptom without a temperature, and still waits for one', async () => {
    const { hospital, reading, record, planId } = await aFollowUp();
    const [symptom] = hospital.stored.plans.get(planId)?.plan.symptoms ?? [];
    const { body } = await record.execute(reading({ value: null, symptoms: [symptom?.code ?? ''] }), WEARER);

    expect(body.judgement.alert).toBe('symptom');
    expect(opened(hospital, 'symptom')).toHaveLength(1);
    expect(body.checkKey).toBeNull();
    expect(stateOf(hospital, 'reading/2026-10-22/morning')).toBe('due');
  });

  it('counts once for every running plan of the same person, and by the strictest of them', async () => {
    const { hospital, reading, record, planId } = await aFollowUp();
    hospital.now = '2026-10-21T09:00:00Z';
    await reported(hospital, { agent: 'mers' });
    hospital.now = '2026-10-22T07:30:00Z';
    const { body } = await record.execute(reading(), WEARER);

    const done = hospital.stored.checks.filter(
      ({ state, readingId }) => state === 'done' && readingId === body.readingId,
    );
    expect(done.map(({ key }) => key)).toEqual(['reading/2026-10-22/morning', 'reading/2026-10-22/morning']);
    expect(new Set(done.map((check) => check.planId)).size).toBe(2);
    expect(done.map((check) => check.planId)).toContain(planId);
  });

  it('is kept beside the plan when its slot is answered already', async () => {
    const { hospital, reading, record } = await aFollowUp();
    const first = await record.execute(reading(), WEARER);
    const { body } = await record.execute(reading({ value: '36.9' }), WEARER);

    expect(body.checkKey).toBeNull();
    expect(hospital.stored.readings).toHaveLength(2);
    expect(hospital.stored.checks.find(({ key }) => key === 'reading/2026-10-22/morning')?.readingId).toBe(
      first.body.readingId,
    );
  });

  it('may be entered by a nurse over the telephone', async () => {
    const { hospital, reading, record } = await aFollowUp();
    await record.execute(reading(), NURSE);

    expect(hospital.stored.readings[0]).toMatchObject({ personId: WEARER_ID, enteredBy: NURSE.accountId });
  });

  it('is replayed for the same key and refused for another body under it', async () => {
    const { hospital, reading, record } = await aFollowUp();
    const command = reading();
    const first = await record.execute(command, WEARER);

    expect(await record.execute(command, WEARER)).toEqual({ outcome: 'replayed', body: first.body });
    expect(await refusalOf(() => record.execute({ ...command, value: '36.9' }, WEARER))).toMatchObject({
      code: 'idempotency-key-reused',
    });
    expect(hospital.stored.readings).toHaveLength(1);
  });

  it('of 73.8 °C is asked again, then kept, raised to the nurse, and answers no slot', async () => {
    const { hospital, reading, record } = await aFollowUp();

    expect(await refusalOf(() => record.execute(reading({ value: '73.8' }), WEARER))).toMatchObject({
      code: 'needs-confirmation',
      pointer: '/value',
    });
    expect(hospital.stored.readings).toEqual([]);
    const { body } = await record.execute(reading({ value: '73.8', confirmed: true }), WEARER);
    expect(hospital.stored.readings).toEqual([expect.objectContaining({ value: '73.8', confirmedImplausible: true })]);
    expect(opened(hospital, 'implausible-entry').map(({ alertId }) => alertId)).toEqual([body.alertId]);
    expect(stateOf(hospital, 'reading/2026-10-22/morning')).toBe('due');
  });

  it('is still taken after the release, since somebody may fall ill', async () => {
    const { hospital, reading, record, planId } = await aFollowUp();
    const plan = hospital.stored.plans.get(planId);
    if (plan) hospital.stored.plans.set(planId, { ...plan, state: 'released', releasedAt: hospital.now });
    const { body } = await record.execute(reading({ value: '38.9' }), WEARER);

    expect(body.judgement.alert).toBe('fever');
    expect(body.checkKey).toBeNull();
  });

  it.each<[string, Partial<RecordReadingCommand>, string, string]>([
    ['370', { value: '370' }, 'unacceptable-answer', '/value'],
    ['no number', { value: '38,4' }, 'unreadable-temperature', '/value'],
    ['a moment in the future', { at: '2026-10-22T09:00:00Z' }, 'unacceptable-answer', '/at'],
    ['a moment before day 0', { at: '2026-10-20T09:00:00Z' }, 'unacceptable-answer', '/at'],
    ['a moment without an offset', { at: '2026-10-22T07:30:00' }, 'unreadable-instant', '/at'],
    ['a zone that IANA does not know', { timeZone: 'Europe/Atlantis' }, 'unknown-time-zone', '/timeZone'],
    ['a symptom that the plan does not ask', { symptoms: ['wanderlust'] }, 'unacceptable-answer', '/symptoms/0'],
  ])('is refused with %s, and nothing is kept', async (_, changes, code, pointer) => {
    const { hospital, reading, record } = await aFollowUp();
    const refusal = await refusalOf(() => record.execute(reading(changes), WEARER));

    expect(refusal).toMatchObject({ code, pointer });
    expect(refusal.accepted).toBeTruthy();
    expect(hospital.stored.readings).toEqual([]);
  });

  it('under somebody else’s plan is answered as if the plan did not exist', async () => {
    const { reading, record } = await aFollowUp();

    expect(await refusalOf(() => record.execute(reading(), BUDDY))).toEqual(
      await refusalOf(() => record.execute(reading({ planId: v7() }), BUDDY)),
    );
  });

  it('is forbidden to a manager', async () => {
    const { reading, record } = await aFollowUp();

    expect(await refusalOf(() => record.execute(reading(), MANAGER))).toMatchObject({ code: 'forbidden' });
  });
});

describe('the readings of a plan', () => {
  it('are listed oldest first, to the wearer and to a nurse, who is noted', async () => {
    const { hospital, reading, record, planId } = await aFollowUp();
    await record.execute(reading({ at: '2026-10-22T07:00:00Z' }), WEARER);
    await record.execute(reading({ at: '2026-10-21T19:00:00Z' }), WEARER);
    const list = new ListReadings(hospital);

    expect((await list.execute({ planId }, WEARER)).map(({ at }) => at)).toEqual([
      '2026-10-21T19:00:00Z',
      '2026-10-22T07:00:00Z',
    ]);
    expect(await list.execute({ planId }, NURSE)).toHaveLength(2);
    expect(hospital.stored.ledger.at(-1)).toMatchObject({ action: 'readings.read', personId: WEARER_ID });
    expect(await refusalOf(() => list.execute({ planId }, BUDDY))).toMatchObject({ code: 'not-found' });
    expect(await refusalOf(async () => list.execute({ planId }, MANAGER))).toMatchObject({ code: 'forbidden' });
  });
});
