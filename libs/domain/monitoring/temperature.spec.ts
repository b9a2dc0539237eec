import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';
import type { TemperatureUnit } from '../followup/profile.js';
import { compareTemperature, plausibilityOf, UnreadableTemperature } from './temperature.js';

describe('temperatures', () => {
  // high-consequence-infections.md, section 2, line "Conversions": those that are exact.
  it.each([
    ['37.5', '99.5'],
    ['38.0', '100.4'],
    ['38', '100.40'],
  ])('%s °C and %s °F are the same, without rounding', (celsius, fahrenheit) => {
    expect(compareTemperature(celsius, 'Cel', fahrenheit, '[degF]')).toBe(0);
    expect(compareTemperature(fahrenheit, '[degF]', celsius, 'Cel')).toBe(0);
  });

  // The same line: these were rounded to a tenth there, so that they must not compare as equal here.
  it.each([
    ['37.8', '100.0', 1],
    ['38.3', '101.0', -1],
    ['38.6', '101.5', -1],
    ['37.4', '99.3', 1],
  ] as const)('%s °C is told from %s °F, to which it was only rounded', (celsius, fahrenheit, order) => {
    expect(compareTemperature(celsius, 'Cel', fahrenheit, '[degF]')).toBe(order);
  });

  it('are told apart at the last digit, however many there are', () => {
    expect(compareTemperature('38.00000000000000001', 'Cel', '100.4', '[degF]')).toBe(1);
    expect(compareTemperature('-40', 'Cel', '-40', '[degF]')).toBe(0);
  });

  it.each(['', 'hot', '38,0', '3.8e1', '38.', '.5', ' 38', '٣٨'])(
    'are refused when they are no decimal: "%s"',
    (value) => {
      expect(() => compareTemperature(value, 'Cel', '38.0', 'Cel')).toThrow(UnreadableTemperature);
    },
  );

  it('compare as the real numbers do, in either unit and either order', () => {
    const tenths = fc.integer({ min: -400, max: 1500 });
    const unit = fc.constantFrom<TemperatureUnit>('Cel', '[degF]');
    const text = (value: number) => (value / 10).toFixed(1);
    // In whole numbers of a 90th of a degree Celsius, which holds both scales exactly.
    const exact = (value: number, scale: TemperatureUnit) => (scale === 'Cel' ? value * 9 : (value - 320) * 5);
    fc.assert(
      fc.property(tenths, unit, tenths, unit, (a, unitA, b, unitB) => {
        const expected = Math.sign(exact(a, unitA) - exact(b, unitB));
        expect(compareTemperature(text(a), unitA, text(b), unitB)).toBe(expected === 0 ? 0 : expected);
        expect(compareTemperature(text(b), unitB, text(a), unitA)).toBe(expected === 0 ? 0 : -expected);
      }),
      { numRuns: 3000 },
    );
  });
});

describe('plausibility', () => {
  it.each([
    ['36.6', 'Cel'],
    ['34.0', 'Cel'],
    ['43.0', 'Cel'],
    ['93.2', '[degF]'],
    ['109.4', '[degF]'],
    ['101.0', '[degF]'],
  ] as const)('%s %s is taken as it stands', (value, unit) => {
    expect(plausibilityOf(value, unit)).toBe('plausible');
  });

  it.each([
    ['73.8', 'Cel', 'swapped digits'],
    ['98.6', 'Cel', 'degrees Fahrenheit typed as Celsius'],
    ['38.4', '[degF]', 'degrees Celsius typed as Fahrenheit'],
    ['33.9', 'Cel', 'colder than anybody at work'],
    ['43.1', 'Cel', 'hotter than anybody awake'],
  ] as const)('%s %s is asked again: %s', (value, unit, _why) => {
    expect(plausibilityOf(value, unit)).toBe('implausible');
  });

  it.each([
    ['370', 'Cel'],
    ['370', '[degF]'],
    ['986', '[degF]'],
    ['-1', 'Cel'],
    ['1000000', 'Cel'],
  ] as const)('%s %s is refused: nothing was measured', (value, unit) => {
    expect(plausibilityOf(value, unit)).toBe('refused');
  });
});
