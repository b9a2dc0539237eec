import { v7 } from 'uuid';

/** An instant some minutes ago, as a form in Madrid would send it. */
export function minutesAgo(minutes: number): string {
  return new Date(Date.now() - minutes * 60_000).toISOString();
}

/** A local date some days from now, in the zone of the test's site. */
export function daysFromNow(days: number): string {
  const format = new Intl.DateTimeFormat('en-CA', { timeZone: 'Europe/Madrid' });
  return format.format(new Date(Date.now() + days * 86_400_000));
}

/**
 * A report that the service accepts: an outer glove torn through while caring for a patient with suspected Ebola, blood
 * there, nothing known of the skin.
 */
export function aReport(told: object = {}): Record<string, unknown> {
  return {
    reportId: v7(),
    wearer: 'self',
    kind: 'breach',
    occurred: { from: minutesAgo(40), timeZone: 'Europe/Madrid' },
    stage: 'patient-care',
    breaches: [{ layer: 'outer-gloves', extent: 'total', manner: 'tear' }],
    fluid: 'blood',
    agent: 'ebola',
    certainty: 'suspected',
    source: 'Bed 4',
    callMe: true,
    ...told,
  };
}

/** The same, with blood on the skin under both gloves: an exposure by any table. */
export function anExposure(told: object = {}): Record<string, unknown> {
  return aReport({
    breaches: [
      { layer: 'outer-gloves', extent: 'total', manner: 'tear' },
      { layer: 'inner-gloves', extent: 'total', manner: 'tear' },
    ],
    seen: { skinWet: 'yes', skinCut: 'no', zones: ['hands'], brokenSkinBefore: 'no' },
    certainty: 'confirmed',
    ...told,
  });
}

/** The five answers that are enough: who, which layer or lapse, stage, skin wet or cut, call me. */
export function aMinimalReport(): Record<string, unknown> {
  return {
    reportId: v7(),
    wearer: 'self',
    kind: 'breach',
    occurred: { from: minutesAgo(10), timeZone: 'Europe/Madrid' },
    stage: 'removal',
    callMe: true,
  };
}

export function aReading(planId: string, told: object = {}): Record<string, unknown> {
  return {
    planId,
    at: minutesAgo(1),
    timeZone: 'Europe/Madrid',
    value: '36.7',
    unit: 'Cel',
    measurementSite: 'ear',
    antipyreticTaken: 'no',
    feltFever: 'no',
    symptoms: [],
    ...told,
  };
}
