import type { Decimal } from '../decision/table.js';
import type { TemperatureUnit } from '../followup/profile.js';
import { DomainError } from '../refusal.js';
import type { Plausibility } from './reading.js';

/** The value is no plain decimal number, so it cannot be compared exactly. */
export class UnreadableTemperature extends DomainError {
  constructor(pointer = '/value') {
    super('unreadable-temperature', 'The temperature is not a decimal number.', {
      pointer,
      accepted: 'a decimal number with a point, for example 37.4, and its unit Cel or [degF]',
    });
  }
}

/**
 * Within these a reading is taken as it stands; outside it is asked again and kept when confirmed. Common practice, from
 * memory: people at work are not colder than 34 °C, and nobody is awake above 43 °C. A mistyped low value would hide a
 * fever, so the lower limit stands close.
 */
const PLAUSIBLE_CEL = { min: '34.0', max: '43.0' } as const;

/**
 * Outside these nothing was measured. They are wide on purpose: swapped digits (73.8) and a mistaken unit (98.6 typed as
 * °C, 38.4 typed as °F, which is 3.6 °C) stay inside and are asked again; a lost decimal point (370, 986) does not.
 */
const POSSIBLE_CEL = { min: '0', max: '150' } as const;

/** A temperature in ninths of a degree Celsius of the power of ten that `scale` names: an integer in either unit. */
interface Ninths {
  readonly count: bigint;
  readonly scale: number;
}

function ninthsOf(value: Decimal, unit: TemperatureUnit): Ninths {
  const match = /^(-?)(\d{1,20})(?:\.(\d{1,20}))?$/.exec(value);
  if (!match) throw new UnreadableTemperature();
  const [, sign, whole = '', fraction = ''] = match;
  const digits = BigInt(`${sign}${whole}${fraction}`);
  const scale = fraction.length;
  // °C = (°F - 32) × 5 / 9.
  return { count: unit === 'Cel' ? digits * 9n : (digits - 32n * 10n ** BigInt(scale)) * 5n, scale };
}

/**
 * Exactly, in whole numbers and without rounding, whatever the units.
 *
 * @example compareTemperature('38.0', 'Cel', '100.4', '[degF]') // 0
 */
export function compareTemperature(a: Decimal, unitA: TemperatureUnit, b: Decimal, unitB: TemperatureUnit): -1 | 0 | 1 {
  const [left, right] = [ninthsOf(a, unitA), ninthsOf(b, unitB)];
  const difference = left.count * 10n ** BigInt(right.scale) - right.count * 10n ** BigInt(left.scale);
  return difference < 0n ? -1 : difference > 0n ? 1 : 0;
}

/** Whether a reading can be taken as it stands, is asked again, or is nothing that a thermometer shows of a person. */
export function plausibilityOf(value: Decimal, unit: TemperatureUnit): Plausibility {
  const within = ({ min, max }: { min: Decimal; max: Decimal }) =>
    compareTemperature(value, unit, min, 'Cel') >= 0 && compareTemperature(value, unit, max, 'Cel') <= 0;
  return within(PLAUSIBLE_CEL) ? 'plausible' : within(POSSIBLE_CEL) ? 'implausible' : 'refused';
}
