import { describe, expect, it } from '@jest/globals';
import { fingerprintOf, once } from './idempotency.js';
import { UnitOfWork, type Transaction } from './ports/unit-of-work.js';
import type { Actor } from './records/people.js';
import { Conflict, NotFound, StaleVersion } from './refusals.js';
import { aHospital, NURSE, refusalOf } from './testing/hospital.fixture.js';
import type { HospitalInMemory } from './testing/hospital-in-memory.js';

/** Looks for a stored answer just before the faster sender has stored it. */
class SlowerSender extends UnitOfWork {
  private looked = false;

  constructor(private readonly hospital: HospitalInMemory) {
    super();
  }

  override run<T>(actor: Actor, work: (tx: Transaction) => Promise<T>): Promise<T> {
    const first = !this.looked;
    this.looked = true;
    return this.hospital.run(actor, (tx) =>
      work(first ? { ...tx, replays: { ...tx.replays, find: async () => null } } : tx),
    );
  }
}

const REQUEST = { route: 'something', key: 'the key', content: { a: 1 } };

function aCount(hospital: HospitalInMemory) {
  return (tx: Transaction) =>
    tx.sources.insert(`source-${hospital.stored.sources.size}`, 'x').then(() => ({ made: true }));
}

describe('a fingerprint', () => {
  it('looks at what is said and not at the order in which it stands', () => {
    expect(fingerprintOf({ a: 1, b: { c: 2, d: 3 } })).toBe(fingerprintOf({ b: { d: 3, c: 2 }, a: 1 }));
    expect(fingerprintOf({ a: 1 })).not.toBe(fingerprintOf({ a: 2 }));
    expect(fingerprintOf({ a: [1, 2] })).not.toBe(fingerprintOf({ a: [2, 1] }));
    // What is absent and what is undefined are the same on the wire.
    expect(fingerprintOf({ a: 1, b: undefined })).toBe(fingerprintOf({ a: 1 }));
  });
});

describe('doing something once', () => {
  it('gives the slower of two senders the answer of the faster, and does it once', async () => {
    const hospital = aHospital();
    const faster = await once(hospital, NURSE, REQUEST, aCount(hospital));
    const slower = await once(new SlowerSender(hospital), NURSE, REQUEST, aCount(hospital));

    expect(faster).toEqual({ outcome: 'new', body: { made: true } });
    expect(slower).toEqual({ outcome: 'replayed', body: { made: true } });
    expect(hospital.stored.sources.size).toBe(1);
  });

  it.each([new StaleVersion(2), new Conflict('This is done already.')])(
    'gives it too where the slower one stumbled over what the faster has changed: %s',
    async (stumble) => {
      const hospital = aHospital();
      await once(hospital, NURSE, REQUEST, aCount(hospital));
      const slower = await once(new SlowerSender(hospital), NURSE, REQUEST, async () => {
        throw stumble;
      });

      expect(slower.outcome).toBe('replayed');
    },
  );

  it.each([
    new StaleVersion(2),
    new Conflict('This is done already.'),
    new NotFound('plan'),
    new TypeError('a defect'),
  ])('leaves a refusal that no repeat explains as it is: %s', async (refusal) => {
    const act = async () => {
      throw refusal;
    };

    await expect(once(aHospital(), NURSE, REQUEST, act)).rejects.toBe(refusal);
  });

  it('refuses the slower sender whose content is another', async () => {
    const hospital = aHospital();
    await once(hospital, NURSE, REQUEST, aCount(hospital));

    expect(
      await refusalOf(() =>
        once(new SlowerSender(hospital), NURSE, { ...REQUEST, content: { a: 2 } }, aCount(hospital)),
      ),
    ).toMatchObject({ code: 'idempotency-key-reused' });
    expect(hospital.stored.sources.size).toBe(1);
  });
});
