import type { Decimal } from './table.js';

/** An exact decimal: `units` x 10^-`scale`. */
export interface ExactDecimal {
  readonly units: bigint;
  readonly scale: number;
}

const WRITTEN = /^(-?)(\d{1,40})(?:\.(\d{1,40}))?$/;
// The largest double has 309 digits and the smallest has its last digit in the 1074th place, so no bound is needed here.
const IN_DOUBLE = /^(-?)(\d+)(?:\.(\d+))?(?:e([+-]\d+))?$/;

/**
 * Reads a decimal as written, or a number by its shortest decimal form (which is what was typed for up to 15 digits).
 * Undefined when it is neither.
 *
 * @example exactDecimal('0.9144') // { units: 9144n, scale: 4 }
 */
export function exactDecimal(value: Decimal | number): ExactDecimal | undefined {
  if (typeof value === 'number') {
    if (!Number.isFinite(value)) return undefined;
    const parts = IN_DOUBLE.exec(String(value));
    return parts ? assembled(parts[1], parts[2], parts[3], Number(parts[4] ?? 0)) : undefined;
  }
  const parts = typeof value === 'string' ? WRITTEN.exec(value) : null;
  return parts ? assembled(parts[1], parts[2], parts[3], 0) : undefined;
}

function assembled(sign = '', whole = '', fraction = '', exponent: number): ExactDecimal {
  const units = BigInt(sign + whole + fraction);
  const scale = fraction.length - exponent;
  return scale >= 0 ? { units, scale } : { units: units * 10n ** BigInt(-scale), scale: 0 };
}

/** Compares without rounding. */
export function compareDecimals(a: ExactDecimal, b: ExactDecimal): -1 | 0 | 1 {
  const left = a.units * 10n ** BigInt(Math.max(0, b.scale - a.scale));
  const right = b.units * 10n ** BigInt(Math.max(0, a.scale - b.scale));
  return left < right ? -1 : left > right ? 1 : 0;
}

/** The decimal half way between two, exactly. */
export function midpoint(a: ExactDecimal, b: ExactDecimal): Decimal {
  const scale = Math.max(a.scale, b.scale);
  const sum = a.units * 10n ** BigInt(scale - a.scale) + b.units * 10n ** BigInt(scale - b.scale);
  return written({ units: sum * 5n, scale: scale + 1 });
}

/** Plain notation without needless zeros. */
export function written({ units, scale }: ExactDecimal): Decimal {
  const sign = units < 0n ? '-' : '';
  const digits = (units < 0n ? -units : units).toString().padStart(scale + 1, '0');
  const whole = digits.slice(0, digits.length - scale);
  const fraction = digits.slice(digits.length - scale).replace(/0+$/, '');
  return sign + whole + (fraction === '' ? '' : `.${fraction}`);
}
