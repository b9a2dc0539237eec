import { describe, expect, it } from '@jest/globals';
import {
  aHospital,
  INFECTION_CONTROL,
  NURSE,
  NURSE_ID,
  only,
  refusalOf,
  reported,
  WEARER,
  WEARER_ID,
} from '../testing/hospital.fixture.js';
import { ConfirmIdentity } from './confirm-identity.js';

const IDENTIFIERS = { staffNumber: 'S1001', dateOfBirth: '1990-05-17' };

describe('confirming an identity', () => {
  it('takes two identifiers and notes when, and who was looked up', async () => {
    const hospital = aHospital();
    const { incidentId } = await reported(hospital);
    const confirmed = await new ConfirmIdentity(hospital).execute({ incidentId, ...IDENTIFIERS }, NURSE);

    expect(confirmed).toEqual({ incidentId, identityConfirmedAt: hospital.now });
    expect(only(hospital.stored.incidents).identityConfirmedAt).toBe(hospital.now);
    expect(hospital.stored.ledger.at(-1)).toMatchObject({ action: 'identity.confirmed', personId: WEARER_ID });
  });

  it.each([
    ['/staffNumber', { staffNumber: 'S1002' }],
    ['/dateOfBirth', { dateOfBirth: '1990-05-18' }],
  ])('refuses another identifier at %s and repeats neither', async (pointer, changed) => {
    const hospital = aHospital();
    const { incidentId } = await reported(hospital);
    const refusal = await refusalOf(() =>
      new ConfirmIdentity(hospital).execute({ incidentId, ...IDENTIFIERS, ...changed }, NURSE),
    );

    expect(refusal).toMatchObject({ code: 'identity-mismatch', pointer });
    expect(`${refusal.message} ${refusal.accepted}`).not.toMatch(/S1001|S1002|1990/);
    expect(only(hospital.stored.incidents).identityConfirmedAt).toBeNull();
  });

  it('refuses a date that no calendar has', async () => {
    const hospital = aHospital();
    const { incidentId } = await reported(hospital);

    expect(
      await refusalOf(() =>
        new ConfirmIdentity(hospital).execute({ incidentId, ...IDENTIFIERS, dateOfBirth: '1990-02-30' }, NURSE),
      ),
    ).toMatchObject({ pointer: '/dateOfBirth' });
  });

  it('says so when no date of birth is on record', async () => {
    const hospital = aHospital();
    const { incidentId } = await reported(hospital);
    const identity = hospital.stored.identities.get(WEARER_ID);
    if (identity) hospital.stored.identities.set(WEARER_ID, { ...identity, dateOfBirth: null });

    expect(
      await refusalOf(() => new ConfirmIdentity(hospital).execute({ incidentId, ...IDENTIFIERS }, NURSE)),
    ).toMatchObject({ code: 'conflict' });
  });

  it('is not done by nurses about themselves', async () => {
    const hospital = aHospital();
    const { incidentId } = await reported(hospital, { wearer: 'self' }, { ...NURSE, personId: NURSE_ID });

    expect(
      await refusalOf(() =>
        new ConfirmIdentity(hospital).execute({ incidentId, staffNumber: 'S1003', dateOfBirth: '1990-05-17' }, NURSE),
      ),
    ).toMatchObject({ code: 'own-case' });
  });

  it.each([
    ['a wearer', WEARER],
    ['infection control', INFECTION_CONTROL],
  ])('is forbidden to %s', async (_, actor) => {
    const hospital = aHospital();
    const { incidentId } = await reported(hospital);

    expect(
      await refusalOf(() => new ConfirmIdentity(hospital).execute({ incidentId, ...IDENTIFIERS }, actor)),
    ).toMatchObject({ code: 'forbidden' });
  });
});
