import { describe, expect, it } from '@jest/globals';
import { v7 } from 'uuid';
import {
  ADMINISTRATOR,
  aHospital,
  BUDDY,
  determined,
  INFECTION_CONTROL,
  MANAGER,
  NURSE,
  refusalOf,
  reported,
  WEARER,
  WEARER_ID,
} from '../testing/hospital.fixture.js';
import { ReadIncident } from './read-incident.js';

describe('reading an incident', () => {
  it('shows the wearer all of the own one', async () => {
    const hospital = aHospital();
    const { incidentId, planId } = await determined(hospital, { account: 'It tore at the bed rail.', buddy: 'Bryn' });
    const file = await new ReadIncident(hospital).execute({ incidentId }, WEARER);

    expect(file.incident).toMatchObject({ incidentId, revision: 2, state: 'determined', unitName: 'Isolation unit' });
    expect(file.incident.wearer).toMatchObject({ personId: WEARER_ID, name: 'Wren Ashdown', staffNumber: 'S1001' });
    expect(file.tellings).toEqual([expect.objectContaining({ account: 'It tore at the bed rail.', buddy: 'Bryn' })]);
    expect(file.assessments).toHaveLength(1);
    expect(file.determinations).toEqual([expect.objectContaining({ signedByName: 'Nell Okonjo-Vale' })]);
    expect(file.plan).toMatchObject({ planId, personId: WEARER_ID, basis: 'determination' });
    expect(file.barrier.routes).toEqual(file.assessments[0]?.barrier.routes);
  });

  it('writes nobody into the ledger for reading their own', async () => {
    const hospital = aHospital();
    const { incidentId } = await reported(hospital);
    const before = hospital.stored.ledger.length;
    await new ReadIncident(hospital).execute({ incidentId }, WEARER);

    expect(hospital.stored.ledger).toHaveLength(before);
  });

  it('shows a nurse all of it and notes in the ledger who was looked at', async () => {
    const hospital = aHospital();
    const { incidentId } = await reported(hospital, { account: 'It tore at the bed rail.' });
    const file = await new ReadIncident(hospital).execute({ incidentId }, NURSE);

    expect(file.incident.wearer.name).toBe('Wren Ashdown');
    expect(file.tellings[0]?.account).toBe('It tore at the bed rail.');
    expect(hospital.stored.ledger.at(-1)).toEqual({
      action: 'incident.read',
      subjectKind: 'incident',
      subjectId: incidentId,
      personId: WEARER_ID,
      detail: {},
    });
  });

  it('shows infection control the coded answers under a pseudonym, without a word anybody wrote', async () => {
    const hospital = aHospital();
    const { incidentId } = await determined(hospital, { account: 'It tore at the bed rail.', buddy: 'Bryn Castellan' });
    const file = await new ReadIncident(hospital).execute({ incidentId }, INFECTION_CONTROL);

    expect(file.incident.wearer).toEqual({
      personId: null,
      pseudonym: 'P-0',
      job: 'Staff nurse',
      name: null,
      staffNumber: null,
      telephone: null,
    });
    expect(file.incident.content.breaches).toEqual([{ layer: 'outer-gloves', extent: 'total', manner: 'tear' }]);
    expect(file.plan?.personId).toBeNull();
    const text = JSON.stringify(file);
    for (const secret of [WEARER_ID, 'Wren', 'Ashdown', 'S1001', '07700', 'bed rail', 'Bryn', 'Nell']) {
      expect(text).not.toContain(secret);
    }
  });

  it('answers another wearer, and the buddy who typed it, exactly as if it did not exist', async () => {
    const hospital = aHospital();
    const { incidentId } = await reported(hospital, { wearer: { staffNumber: 'S1001' } }, BUDDY);
    const read = (id: string) => refusalOf(() => new ReadIncident(hospital).execute({ incidentId: id }, BUDDY));

    expect(await read(incidentId)).toEqual(await read(v7()));
    expect(await read(incidentId)).toMatchObject({ code: 'not-found' });
  });

  it.each([
    ['a manager', MANAGER],
    ['an administrator', ADMINISTRATOR],
  ])('is forbidden to %s before anything is looked up', async (_, actor) => {
    const hospital = aHospital();

    expect(await refusalOf(async () => new ReadIncident(hospital).execute({ incidentId: v7() }, actor))).toMatchObject({
      code: 'forbidden',
    });
    expect(hospital.begun).toBe(0);
  });
});
