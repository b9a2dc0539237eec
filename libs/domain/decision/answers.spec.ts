import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';
import { codingOf, type AnswerCoding } from './answers.js';
import { compareDecimals, exactDecimal, midpoint, written } from './decimal.js';
import { UnacceptableAnswer } from './refusals.js';
import type { CutPoint, FactAnswer } from './table.js';

function metres(...cuts: CutPoint[]): AnswerCoding {
  return codingOf({ kind: 'quantity', unit: 'm', min: '0', max: '1000' }, cuts);
}

function band(coding: AnswerCoding, answer: FactAnswer): string[] {
  const mask = coding.encode(answer, 'distance');
  return coding.labels.filter((_, value) => (mask >> value) & 1);
}

function refusal(coding: AnswerCoding, answer: unknown): { pointer?: string; accepted?: string } {
  try {
    coding.encode(answer as FactAnswer, 'distance');
  } catch (error) {
    if (error instanceof UnacceptableAnswer) return error;
  }
  throw new Error('It was accepted.');
}

describe('bands of a quantity', () => {
  it('keeps 3 ft (0.9144 m) and 1 m apart', () => {
    const coding = metres({ at: '0.9144', operator: '>' }, { at: '1', operator: '>' });
    expect(coding.labels).toEqual(['0.9144 m or less', 'over 0.9144 to 1 m', 'over 1 m']);
    expect(band(coding, 0.9144)).toEqual(['0.9144 m or less']);
    expect(band(coding, '0.91440001')).toEqual(['over 0.9144 to 1 m']);
    expect(band(coding, 1)).toEqual(['over 0.9144 to 1 m']);
    expect(band(coding, 1.0000001)).toEqual(['over 1 m']);
  });

  it('keeps ">=" and ">" at the same point apart', () => {
    const coding = metres({ at: '2', operator: '>' }, { at: '2', operator: '>=' });
    expect(coding.labels).toEqual(['under 2 m', 'exactly 2 m', 'over 2 m']);
    expect([band(coding, 1.9), band(coding, '2.00'), band(coding, 2.1)]).toEqual([
      ['under 2 m'],
      ['exactly 2 m'],
      ['over 2 m'],
    ]);
  });

  it('reads a range as the set of bands it touches, both ends included, an absent end open', () => {
    const coding = metres({ at: '1', operator: '>=' }, { at: '2', operator: '>=' });
    const [under, between, over] = coding.labels;
    expect(band(coding, { min: 0.5, max: 0.9 })).toEqual([under]);
    expect(band(coding, { min: 0.5, max: 1 })).toEqual([under, between]);
    expect(band(coding, { min: '1' })).toEqual([between, over]);
    expect(band(coding, { max: 1.99 })).toEqual([under, between]);
    expect(band(coding, {})).toEqual([under, between, over]);
  });

  it.each<[string, unknown, string]>([
    ['below the limit', -1, '/distance'],
    ['above the limit', 1000.5, '/distance'],
    ['not a number', 'far', '/distance'],
    ['with an exponent', '1e2', '/distance'],
    ['not finite', NaN, '/distance'],
    ['a truth value', true, '/distance'],
    ['a list', [1], '/distance'],
    ['a range with another key', { minimum: 1 }, '/distance/minimum'],
    ['a range end out of the limits', { min: 1, max: 2000 }, '/distance/max'],
    ['a range end that is no number', { min: 'near' }, '/distance/min'],
    ['a range the wrong way round', { min: 3, max: 2 }, '/distance'],
  ])('refuses an answer %s and says what would be accepted', (_, answer, pointer) => {
    const { pointer: at, accepted } = refusal(metres({ at: '1', operator: '>=' }), answer);
    expect(at).toBe(pointer);
    expect(accepted).toContain('from 0 to 1000');
  });

  it('never repeats the refused answer', () => {
    expect(JSON.stringify(refusal(metres(), 'HIV positive'))).not.toContain('HIV');
  });

  it('compares doubles exactly as their decimals, for any cut and any number', () => {
    const decimal = fc
      .tuple(fc.integer({ min: 0, max: 999 }), fc.bigInt({ min: 0n, max: 10n ** 20n }), fc.integer({ min: 0, max: 20 }))
      .map(
        ([whole, digits, places]) =>
          `${whole}${places === 0 ? '' : `.${String(digits).padStart(places, '0').slice(0, places)}`}`,
      );
    const number = fc.oneof(
      fc.double({ min: 0, max: 1000, noNaN: true }),
      decimal.map(Number),
      fc.constantFrom(0.1 + 0.2, 0.3, 1 / 3, 5e-324),
    );
    fc.assert(
      fc.property(
        decimal,
        fc.constantFrom<CutPoint['operator']>('>=', '>'),
        fc.oneof(number, decimal),
        (at, operator, answer) => {
          const [cut, exact] = [exactDecimal(at), exactDecimal(answer)];
          if (!cut || !exact) throw new Error('Both are decimals.');
          const above = compareDecimals(exact, cut) >= (operator === '>=' ? 0 : 1);
          expect(metres({ at, operator }).encode(answer, 'distance')).toBe(above ? 2 : 1);
        },
      ),
      { numRuns: 2000 },
    );
  });

  it('stands each band for a number that lies in it', () => {
    const cut = fc.record({
      at: fc.constantFrom('0.5', '1', '1.0001', '2', '40'),
      operator: fc.constantFrom<CutPoint['operator']>('>=', '>'),
    });
    const cuts = fc.uniqueArray(cut, { selector: ({ at, operator }) => at + operator, minLength: 1, maxLength: 6 });
    fc.assert(
      fc.property(cuts, (chosen) => {
        const coding = metres(...chosen);
        coding.samples.forEach((sample, value) => expect(coding.encode(sample, 'distance')).toBe(1 << value));
      }),
    );
  });
});

describe('decimals', () => {
  it.each([
    ['0.10', { units: 10n, scale: 2 }],
    ['-3', { units: -3n, scale: 0 }],
    [1e-7, { units: 1n, scale: 7 }],
    [1e21, { units: 10n ** 21n, scale: 0 }],
    [1.5e-7, { units: 15n, scale: 8 }],
  ])('reads %s exactly', (value, exact) => {
    expect(exactDecimal(value)).toEqual(exact);
  });

  it.each(['', '.5', '5.', '1,5', ' 1', '+1', '0x10', '1'.repeat(41), Infinity, NaN])(
    'takes %s for no decimal',
    (value) => {
      expect(exactDecimal(value)).toBeUndefined();
    },
  );

  it('finds the middle of two decimals', () => {
    expect(midpoint({ units: 9144n, scale: 4 }, { units: 1n, scale: 0 })).toBe('0.9572');
    expect(midpoint({ units: -1n, scale: 0 }, { units: 1n, scale: 0 })).toBe('0');
    expect(written({ units: -105n, scale: 2 })).toBe('-1.05');
  });
});

describe('answers to a choice', () => {
  const coding = codingOf({ kind: 'yesNo' });

  it.each([undefined, null, 'unknown'])('takes %s as unknown: everything stays possible', (answer) => {
    expect(coding.encode(answer, 'contact')).toBe(coding.all);
  });

  it.each([true, 'YES', 'maybe', 1, {}, ['yes'], ''])('refuses %j', (answer) => {
    expect(() => coding.encode(answer as FactAnswer, 'contact')).toThrow(UnacceptableAnswer);
  });
});
