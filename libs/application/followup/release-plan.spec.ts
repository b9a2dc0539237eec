import { describe, expect, it } from '@jest/globals';
import { v7 } from 'uuid';
import {
  aHospital,
  credentialsOf,
  determined,
  INFECTION_CONTROL,
  MANAGER,
  NOTHING_REACHED,
  NURSE,
  only,
  PASSWORD,
  refusalOf,
  reported,
  SECOND_NURSE,
  theRulebook,
  WEARER,
  WEARER_ID,
} from '../testing/hospital.fixture.js';
import type { HospitalInMemory } from '../testing/hospital-in-memory.js';
import { AmendIncident } from '../reporting/amend-incident.js';
import { SiteKnowledge } from '../reporting/site-knowledge.js';
import { CloseAlert } from './close-alert.js';
import { RecordReading } from './record-reading.js';
import { ReleasePlan, type ReleasePlanCommand } from './release-plan.js';

function releasing(hospital: HospitalInMemory) {
  return new ReleasePlan(hospital, credentialsOf(hospital));
}

/** Day 21 is 11 November: the window ends with that day in London. */
const LAST_MOMENT = '2026-11-11T23:59:59Z';
const AFTER = '2026-11-12T00:00:00Z';
const SECOND = { login: 's1004', password: PASSWORD };

async function aFollowUp() {
  const hospital = aHospital();
  const { planId, incidentId } = await determined(hospital);
  const command = (changes: Partial<ReleasePlanCommand> = {}): ReleasePlanCommand => ({
    idempotencyKey: v7(),
    planId,
    ...changes,
  });
  return { hospital, planId, incidentId, command };
}

describe('a release', () => {
  it('ends the follow-up after its last day, and clears the duty status', async () => {
    const { hospital, planId, incidentId, command } = await aFollowUp();
    hospital.now = AFTER;
    const { outcome, body } = await releasing(hospital).execute(command(), NURSE);

    expect(outcome).toBe('new');
    expect(body).toEqual({ planId, incidentId, releasedAt: AFTER, early: false });
    expect(only(hospital.stored.plans)).toMatchObject({ state: 'released', releasedAt: AFTER });
    expect(only(hospital.stored.incidents).state).toBe('released');
    expect(hospital.stored.dutyStatuses.size).toBe(0);
    expect(hospital.stored.checks.find(({ key }) => key === 'release')).toMatchObject({ state: 'done', doneAt: AFTER });
    expect(hospital.stored.releases.get(planId)).toEqual({ by: NURSE.accountId, early: null });
  });

  it('is refused until the very end of the last day', async () => {
    const { hospital, command } = await aFollowUp();
    hospital.now = LAST_MOMENT;

    expect(await refusalOf(() => releasing(hospital).execute(command(), NURSE))).toMatchObject({
      code: 'window-open',
      pointer: '/early',
      accepted: 'a day after 2026-11-11, or a reason and a second clinician',
    });
    expect(only(hospital.stored.plans).state).toBe('running');
  });

  it('before that takes a reason and a second clinician, both kept', async () => {
    const { hospital, planId, command } = await aFollowUp();

    expect(
      await refusalOf(() => releasing(hospital).execute(command({ early: 'Source negative twice.' }), NURSE)),
    ).toMatchObject({ code: 'second-clinician-needed' });
    expect(
      await refusalOf(() => releasing(hospital).execute(command({ secondClinician: SECOND }), NURSE)),
    ).toMatchObject({ code: 'window-open' });
    const { body } = await releasing(hospital).execute(
      command({ early: 'Source negative twice.', secondClinician: SECOND }),
      NURSE,
    );

    expect(body.early).toBe(true);
    expect(hospital.stored.releases.get(planId)).toEqual({
      by: NURSE.accountId,
      early: { reason: 'Source negative twice.', secondClinician: SECOND_NURSE.accountId },
    });
    expect(JSON.stringify(hospital.stored.ledger)).not.toContain('negative');
  });

  it('is refused with a second clinician who cannot sign in, or is the wearer', async () => {
    const { hospital, command } = await aFollowUp();
    const early = 'Source negative twice.';

    for (const secondClinician of [
      { login: 's1004', password: 'wrong' },
      { login: 's1003', password: PASSWORD },
    ]) {
      expect(
        await refusalOf(() => releasing(hospital).execute(command({ early, secondClinician }), NURSE)),
      ).toMatchObject({ code: 'second-clinician-refused' });
    }
  });

  it('is refused while a fever of that person is open, and possible once it is closed', async () => {
    const { hospital, planId, command } = await aFollowUp();
    hospital.now = '2026-11-11T19:00:00Z';
    await new RecordReading(hospital).execute(
      { idempotencyKey: v7(), planId, at: hospital.now, timeZone: 'Europe/London', value: '38.6', unit: 'Cel' },
      WEARER,
    );
    hospital.now = AFTER;
    expect(await refusalOf(() => releasing(hospital).execute(command(), NURSE))).toMatchObject({ code: 'alert-open' });

    const fever = [...hospital.stored.alerts.values()].find(({ kind }) => kind === 'fever');
    await new CloseAlert(hospital).execute(
      { alertId: fever?.alertId ?? '', outcome: 'spoken-to-well', decided: 'Tested and well.' },
      NURSE,
    );
    await releasing(hospital).execute(command(), NURSE);
    expect(hospital.stored.dutyStatuses.size).toBe(0);
  });

  it('is refused without a determination, or when the case was opened again after it', async () => {
    const undecided = aHospital();
    const { plan } = await reported(undecided);
    undecided.now = AFTER;
    expect(
      await refusalOf(() => releasing(undecided).execute({ idempotencyKey: v7(), planId: plan?.planId ?? '' }, NURSE)),
    ).toMatchObject({ code: 'not-determined' });

    const { hospital, incidentId, command } = await aFollowUp();
    await new AmendIncident(hospital, theRulebook(), new SiteKnowledge()).execute(
      { incidentId, onRevision: 2, changes: { agent: 'mers' } },
      WEARER,
    );
    hospital.now = AFTER;
    expect(await refusalOf(() => releasing(hospital).execute(command(), NURSE))).toMatchObject({
      code: 'not-determined',
    });
  });

  it('is refused when facts came in that would loosen, since nobody has decided on them', async () => {
    const { hospital, incidentId, command } = await aFollowUp();
    await new AmendIncident(hospital, theRulebook(), new SiteKnowledge()).execute(
      { incidentId, onRevision: 2, changes: NOTHING_REACHED },
      WEARER,
    );
    expect(only(hospital.stored.plans).basis).toBe('determination');
    hospital.now = AFTER;

    expect(await refusalOf(() => releasing(hospital).execute(command(), NURSE))).toMatchObject({
      code: 'not-determined',
    });
  });

  it('leaves what another running plan of the same person permits', async () => {
    const { hospital, command } = await aFollowUp();
    hospital.now = '2026-11-10T09:00:00Z';
    await reported(hospital, { occurred: { from: '2026-11-10T08:00:00Z', timeZone: 'Europe/London' } });
    hospital.now = AFTER;
    await releasing(hospital).execute(command(), NURSE);

    expect(hospital.stored.dutyStatuses.get(WEARER_ID)?.work).toBe('not-rostered-until-decided');
  });

  it('is replayed for the same key, and refused a second time under another', async () => {
    const { hospital, command } = await aFollowUp();
    hospital.now = AFTER;
    const once = command();
    const first = await releasing(hospital).execute(once, NURSE);

    expect(await releasing(hospital).execute(once, NURSE)).toEqual({ outcome: 'replayed', body: first.body });
    expect(await refusalOf(() => releasing(hospital).execute(command(), NURSE))).toMatchObject({ code: 'conflict' });
  });

  it('is not signed by nurses about themselves', async () => {
    const { hospital, command } = await aFollowUp();
    hospital.now = AFTER;

    expect(
      await refusalOf(() => releasing(hospital).execute(command(), { ...NURSE, personId: WEARER_ID })),
    ).toMatchObject({ code: 'own-case' });
  });

  it.each([
    ['a wearer', WEARER],
    ['infection control', INFECTION_CONTROL],
    ['a manager', MANAGER],
  ])('is forbidden to %s', async (_, actor) => {
    const { hospital, command } = await aFollowUp();

    expect(await refusalOf(() => releasing(hospital).execute(command(), actor))).toMatchObject({ code: 'forbidden' });
  });

  it('of a plan that does not exist is not found', async () => {
    const { hospital, command } = await aFollowUp();

    expect(await refusalOf(() => releasing(hospital).execute(command({ planId: v7() }), NURSE))).toMatchObject({
      code: 'not-found',
    });
  });
});
