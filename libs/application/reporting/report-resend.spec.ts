import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';
import { v7 } from 'uuid';
import { aHospital, aReport, BUDDY, theRulebook, WEARER } from '../testing/hospital.fixture.js';
import type { HospitalInMemory } from '../testing/hospital-in-memory.js';
import { IdempotencyKeyReused } from '../refusals.js';
import { ReportIncident } from './report-incident.js';
import { SiteKnowledge } from './site-knowledge.js';

class ConnectionLost extends Error {}

/** Where the line breaks: before anything is stored, or after it was stored and before the answer arrived. */
type Break = 'never' | 'before-commit' | 'after-commit';

interface Send {
  readonly report: number;
  readonly key: number;
  readonly fault: Break;
}

const REPORTS = 3;
const KEYS = 4;

const send: fc.Arbitrary<Send> = fc.record({
  report: fc.nat(REPORTS - 1),
  key: fc.nat(KEYS - 1),
  fault: fc.constantFrom<Break>('never', 'never', 'before-commit', 'after-commit'),
});

async function sendOnce(hospital: HospitalInMemory, execute: () => Promise<unknown>, fault: Break): Promise<unknown> {
  const lose = () => {
    throw new ConnectionLost();
  };
  hospital.beforeCommit = fault === 'before-commit' ? lose : () => undefined;
  hospital.afterCommit = fault === 'after-commit' ? lose : () => undefined;
  try {
    return await execute();
  } catch (error) {
    if (error instanceof ConnectionLost || error instanceof IdempotencyKeyReused) return error;
    throw error;
  }
}

describe('a report that is sent again and again over a line that breaks', () => {
  it('is stored once as soon as it was acknowledged, and is never answered with another one', async () => {
    const reports = Array.from({ length: REPORTS }, (_, index) => aReport({ account: `telling ${index}` }));
    const keys = Array.from({ length: KEYS }, () => v7());
    await fc.assert(
      fc.asyncProperty(fc.array(send, { minLength: 1, maxLength: 10 }), async (sends) => {
        const hospital = aHospital();
        const use = new ReportIncident(hospital, theRulebook(), new SiteKnowledge());
        // The model: which report each key was stored for, and which reports are stored.
        const keyOf = new Map<number, number>();
        const stored = new Set<number>();
        for (const { report, key, fault } of sends) {
          const command = { ...aReport(), ...reports[report], idempotencyKey: keys[key] ?? '' };
          const reused = keyOf.has(key) && keyOf.get(key) !== report;
          const known = stored.has(report) || keyOf.has(key);
          const answer = await sendOnce(hospital, () => use.execute(command, WEARER), fault);

          if (fault === 'never' && reused) {
            expect(answer).toBeInstanceOf(IdempotencyKeyReused);
          } else if (fault === 'never') {
            const outcome = keyOf.get(key) === report ? 'replayed' : stored.has(report) ? 'already-accepted' : 'new';
            expect(answer).toMatchObject({ outcome, body: { reportId: command.reportId } });
          } else {
            expect(answer instanceof ConnectionLost || (reused && answer instanceof IdempotencyKeyReused)).toBe(true);
          }
          if (!known && fault !== 'before-commit') {
            stored.add(report);
            keyOf.set(key, report);
          }
        }
        const ids = [...hospital.stored.incidents.values()].map(({ reportId }) => reportId);
        expect(new Set(ids).size).toBe(ids.length);
        expect(new Set(ids)).toEqual(new Set([...stored].map((report) => reports[report]?.reportId)));
        for (const part of [
          hospital.stored.tellings,
          hospital.stored.assessments,
          [...hospital.stored.plans.values()],
        ]) {
          expect(part).toHaveLength(ids.length);
        }
        expect(hospital.stored.outbox).toHaveLength(hospital.stored.alerts.size);
      }),
      { numRuns: 60 },
    );
  });

  it('is stored once by 64 senders of the same moment', async () => {
    const hospital = aHospital();
    const use = new ReportIncident(hospital, theRulebook(), new SiteKnowledge());
    const command = aReport();
    const answers = await Promise.all(Array.from({ length: 64 }, () => use.execute(command, WEARER)));

    expect(hospital.stored.incidents.size).toBe(1);
    expect(answers.filter(({ outcome }) => outcome === 'new')).toHaveLength(1);
    expect(new Set(answers.map(({ body }) => JSON.stringify(body))).size).toBe(1);
  });

  it('keeps the keys of two accounts apart', async () => {
    const hospital = aHospital();
    const use = new ReportIncident(hospital, theRulebook(), new SiteKnowledge());
    const idempotencyKey = v7();
    await use.execute(aReport({ idempotencyKey }), WEARER);
    const { outcome } = await use.execute(aReport({ idempotencyKey }), BUDDY);

    expect(outcome).toBe('new');
    expect(hospital.stored.incidents.size).toBe(2);
  });
});
