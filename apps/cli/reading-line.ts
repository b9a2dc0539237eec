import { DomainError, plausibilityOf, requireInstant, type Reading, type Symptom, type Ternary } from '#domain';

const refused = (message: string, pointer: string, accepted: string) =>
  new DomainError('unacceptable-answer', message, { pointer, accepted });

/**
 * One reading from one line of NDJSON: `{at, value, unit, feltFever, symptoms[], antipyreticTaken}`. What is absent is
 * unknown; what the profile does not ask for, and what no thermometer shows, is refused with its JSON Pointer.
 */
export function readingOfLine(line: string, asked: readonly Symptom[]): Reading {
  const entry = objectOf(line);
  const value = valueOf(entry['value']);
  const unit = entry['unit'] ?? null;
  if (unit !== 'Cel' && unit !== '[degF]' && (value !== null || unit !== null)) {
    throw refused('The unit is not one of the two for a body temperature.', '/unit', 'Cel or [degF]');
  }
  const reading: Reading = {
    at: requireInstant(entry['at'] as string, '/at'),
    value,
    unit: unit === '[degF]' ? '[degF]' : 'Cel',
    measurementSite: 'not-known',
    antipyreticTaken: ternaryOf(entry['antipyreticTaken'], '/antipyreticTaken'),
    feltFever: ternaryOf(entry['feltFever'], '/feltFever'),
    symptoms: symptomsOf(entry['symptoms'] ?? [], asked),
  };
  if (reading.value !== null && plausibilityOf(reading.value, reading.unit) === 'refused') {
    throw refused(
      'No thermometer shows this of a person.',
      '/value',
      'the temperature as it stands on the thermometer, for example 37.4 with the unit Cel or 99.3 with [degF]',
    );
  }
  return reading;
}

function objectOf(line: string): Readonly<Record<string, unknown>> {
  let parsed: unknown;
  try {
    parsed = JSON.parse(line);
  } catch {
    // The runtime's own message quotes the text around.
    throw new DomainError('malformed-json', 'The line is no JSON.', { accepted: 'one JSON object a line' });
  }
  if (typeof parsed === 'object' && parsed !== null && !Array.isArray(parsed)) {
    return parsed as Readonly<Record<string, unknown>>;
  }
  throw refused(
    'The line is no reading.',
    '',
    'an object, for example {"at":"2026-10-21T07:10:00Z","value":36.6,"unit":"Cel"}',
  );
}

function valueOf(value: unknown): string | null {
  if (value === undefined || value === null) return null;
  if (typeof value === 'number' || typeof value === 'string') return String(value);
  throw refused('The temperature is not a decimal number.', '/value', 'a number, or null when none was measured');
}

function ternaryOf(answer: unknown, pointer: string): Ternary {
  switch (answer) {
    case true:
    case 'yes':
      return 'yes';
    case false:
    case 'no':
      return 'no';
    case undefined:
    case null:
    case 'unknown':
      return 'unknown';
    default:
      throw refused('The answer is not one of three.', pointer, 'true, false, "yes", "no" or "unknown"');
  }
}

function symptomsOf(given: unknown, asked: readonly Symptom[]): readonly string[] {
  if (!Array.isArray(given)) throw refused('The symptoms are no list.', '/symptoms', 'an array of symptom codes');
  return given.map((code: unknown, index) => {
    if (asked.some((symptom) => symptom.code === code)) return code as string;
    throw refused(
      'The profile asks for no such symptom.',
      `/symptoms/${index}`,
      `one of: ${asked.map((symptom) => symptom.code).join(', ')}`,
    );
  });
}
