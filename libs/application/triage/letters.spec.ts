import { createHash } from 'node:crypto';
import { beforeEach, describe, expect, it } from '@jest/globals';
import { v7 } from 'uuid';
import { LetterWriter, type ReferralLetter } from '../ports/letters.js';
import type { Actor } from '../records/people.js';
import { AmendIncident } from '../reporting/amend-incident.js';
import { SiteKnowledge } from '../reporting/site-knowledge.js';
import {
  aHospital,
  BUDDY,
  determined,
  INFECTION_CONTROL,
  MANAGER,
  NURSE,
  only,
  refusalOf,
  reported,
  SECOND_NURSE,
  theRulebook,
  WEARER,
  WEARER_ID,
} from '../testing/hospital.fixture.js';
import type { HospitalInMemory } from '../testing/hospital-in-memory.js';
import { DraftLetter } from './draft-letter.js';
import { ListLetters } from './list-letters.js';
import { ReadLetter } from './read-letter.js';
import { SignLetter } from './sign-letter.js';

/** Writes the model itself, so that a spec can see what would stand in the letter. */
class ModelWriter extends LetterWriter {
  override contentHash({ signature: _, ...content }: ReferralLetter): string {
    return createHash('sha256').update(JSON.stringify(content)).digest('hex');
  }

  override async write(letter: ReferralLetter): Promise<Uint8Array> {
    return new TextEncoder().encode(JSON.stringify(letter));
  }
}

const read = (bytes: Uint8Array) => JSON.parse(new TextDecoder().decode(bytes)) as ReferralLetter;

function lettersOf(hospital: HospitalInMemory) {
  const parts = [hospital, theRulebook(), new ModelWriter()] as const;
  return {
    draft: new DraftLetter(...parts),
    sign: new SignLetter(...parts),
    letter: new ReadLetter(...parts),
    list: new ListLetters(hospital),
  };
}

describe('a referral letter', () => {
  let hospital: HospitalInMemory;
  let incidentId: string;
  let letters: ReturnType<typeof lettersOf>;

  beforeEach(async () => {
    hospital = aHospital();
    ({ incidentId } = await determined(hospital, { account: 'It tore at the bed rail.', buddy: 'Bryn' }));
    letters = lettersOf(hospital);
  });

  const draftOf = (actor: Actor = NURSE) => letters.draft.execute({ incidentId, kind: 'referral' }, actor);

  it('says who, where, what, how it was judged and decided, and what was advised', async () => {
    const { letterId } = await draftOf();
    const model = read(await letters.letter.pdf({ letterId }, NURSE));

    expect(model).toMatchObject({
      letterId,
      incidentId,
      revision: 2,
      siteName: 'Saltmarsh General',
      unitName: 'Isolation unit',
      wearer: { name: 'Wren Ashdown', staffNumber: 'S1001', telephone: '07700 900123' },
      buddy: 'Bryn',
      account: 'It tore at the bed rail.',
      agentName: 'Ebola disease',
      determination: { departs: false, signedBy: 'Nell Okonjo-Vale' },
      plan: { dayZero: '2026-10-21', lastDay: '2026-11-11', timeZone: 'Europe/London' },
      signature: null,
      paper: 'A4',
    });
    expect(model.assessment).toEqual(hospital.stored.assessments[0]?.result);
    expect(model.plan?.windowSource.body).toBeTruthy();
    expect(model.adviceGiven.join(' ')).toContain('Stop. Nothing is altered in the patient area.');
    expect(model.question).toContain('prophylaxis');
  });

  it('can be drafted before anything is determined, on the paper that is asked for', async () => {
    const fresh = aHospital();
    const report = await reported(fresh);
    const own = lettersOf(fresh);
    const { letterId, paper, revision } = await own.draft.execute(
      { incidentId: report.incidentId, kind: 'referral', paper: 'LETTER' },
      WEARER,
    );

    expect({ paper, revision }).toEqual({ paper: 'LETTER', revision: 1 });
    expect(read(await own.letter.pdf({ letterId }, WEARER))).toMatchObject({ determination: null, paper: 'LETTER' });
  });

  it('is drafted once, however often it is asked for, until it is signed or something changed', async () => {
    const { letterId } = await draftOf();
    expect(await draftOf()).toMatchObject({ letterId });
    expect(hospital.stored.letters.size).toBe(1);

    const onLetterPaper = await letters.draft.execute({ incidentId, kind: 'referral', paper: 'LETTER' }, NURSE);
    expect(onLetterPaper.letterId).not.toBe(letterId);

    await letters.sign.execute({ letterId }, NURSE);
    expect((await draftOf()).letterId).not.toBe(letterId);
  });

  it('has the same content whoever drafts it', async () => {
    const { letterId } = await draftOf(WEARER);

    expect(read(await letters.letter.pdf({ letterId }, WEARER))).toEqual(
      read(await letters.letter.pdf({ letterId }, NURSE)),
    );
  });

  it('is signed by a nurse, with the name, and keeps those bytes', async () => {
    const { letterId } = await draftOf(WEARER);
    hospital.now = '2026-10-21T10:00:00Z';
    const signed = await letters.sign.execute({ letterId }, SECOND_NURSE);

    expect(signed).toMatchObject({ signedBy: SECOND_NURSE.accountId, signedAt: hospital.now });
    const bytes = await letters.letter.pdf({ letterId }, WEARER);
    expect(read(bytes).signature).toEqual({ name: 'Soren Applegarth', at: '2026-10-21T10:00:00Z' });

    await new AmendIncident(hospital, theRulebook(), new SiteKnowledge()).execute(
      { incidentId, onRevision: 2, changes: { fluid: 'vomit' } },
      WEARER,
    );
    expect(await letters.letter.pdf({ letterId }, WEARER)).toEqual(bytes);
  });

  it('is neither shown nor signed as a draft once the incident has changed', async () => {
    const { letterId } = await draftOf();
    await new AmendIncident(hospital, theRulebook(), new SiteKnowledge()).execute(
      { incidentId, onRevision: 2, changes: { fluid: 'vomit' } },
      WEARER,
    );

    for (const request of [
      () => letters.letter.pdf({ letterId }, NURSE),
      () => letters.sign.execute({ letterId }, NURSE),
    ]) {
      expect(await refusalOf(request)).toMatchObject({ code: 'conflict', accepted: 'a new draft' });
    }
    expect(hospital.stored.pdfs.size).toBe(0);
  });

  it('is not signed over other telephone numbers than it was drafted with', async () => {
    const { letterId } = await draftOf();
    const { site } = hospital.stored;
    hospital.stored.site = {
      ...site,
      settings: { ...site.settings, emergency: { words: 'Call', telephone: '3333' } },
    };

    expect(await refusalOf(() => letters.sign.execute({ letterId }, NURSE))).toMatchObject({ code: 'conflict' });
  });

  it('is signed once, and not about oneself', async () => {
    const { letterId } = await draftOf();
    expect(await refusalOf(() => letters.sign.execute({ letterId }, { ...NURSE, personId: WEARER_ID }))).toMatchObject({
      code: 'own-case',
    });
    await letters.sign.execute({ letterId }, NURSE);

    expect(await refusalOf(() => letters.sign.execute({ letterId }, NURSE))).toMatchObject({ code: 'conflict' });
  });

  it('is listed newest first, to the wearer and to nurses', async () => {
    const first = await draftOf();
    hospital.now = '2026-10-21T10:00:00Z';
    const second = await letters.draft.execute({ incidentId, kind: 'referral', paper: 'LETTER' }, NURSE);

    for (const actor of [WEARER, NURSE]) {
      expect((await letters.list.execute({ incidentId }, actor)).map(({ letterId }) => letterId)).toEqual([
        second.letterId,
        first.letterId,
      ]);
    }
    expect(await letters.letter.execute({ letterId: first.letterId }, WEARER)).toEqual(first);
  });

  it('notes in the ledger which nurse read it about whom, and nothing for the wearer', async () => {
    const { letterId } = await draftOf();
    await letters.letter.pdf({ letterId }, WEARER);
    const before = hospital.stored.ledger.length;
    await letters.letter.pdf({ letterId }, NURSE);

    expect(hospital.stored.ledger.slice(before)).toEqual([
      expect.objectContaining({ action: 'letter.read', subjectId: letterId, personId: WEARER_ID }),
    ]);
  });

  it('is answered to another wearer as if it did not exist', async () => {
    const { letterId } = await draftOf();
    const absent = v7();

    expect(await refusalOf(() => letters.letter.pdf({ letterId }, BUDDY))).toEqual(
      await refusalOf(() => letters.letter.pdf({ letterId: absent }, BUDDY)),
    );
    expect(await refusalOf(() => letters.letter.execute({ letterId }, BUDDY))).toMatchObject({ code: 'not-found' });
    expect(await refusalOf(() => draftOf(BUDDY))).toEqual(
      await refusalOf(() => letters.draft.execute({ incidentId: absent, kind: 'referral' }, BUDDY)),
    );
    expect(await refusalOf(() => letters.list.execute({ incidentId }, BUDDY))).toMatchObject({ code: 'not-found' });
  });

  it.each([
    ['infection control', INFECTION_CONTROL],
    ['a manager', MANAGER],
  ])('is forbidden to %s to draft, read, list or sign', async (_, actor) => {
    const { letterId } = await draftOf();

    for (const request of [
      () => draftOf(actor),
      () => letters.letter.execute({ letterId }, actor),
      () => letters.letter.pdf({ letterId }, actor),
      () => letters.list.execute({ incidentId }, actor),
      () => letters.sign.execute({ letterId }, actor),
    ]) {
      expect(await refusalOf(async () => request())).toMatchObject({ code: 'forbidden' });
    }
    expect(await refusalOf(async () => letters.sign.execute({ letterId }, WEARER))).toMatchObject({
      code: 'forbidden',
    });
    expect(only(hospital.stored.letters).signedAt).toBeNull();
  });
});
