import type { Ensemble, ReportBody, Site, Ternary, Zone } from '../../api.js';

type Told<Field extends keyof ReportBody> = NonNullable<ReportBody[Field]>;
type ToldBreach = Told<'breaches'>[number];
export type Extent = NonNullable<ToldBreach['extent']>;
export type Manner = NonNullable<ToldBreach['manner']>;
export type Stage = Told<'stage'>;
export type Lapse = Told<'lapses'>[number];
export type Task = Told<'task'>;
export type Fluid = Told<'fluid'>;
export type Certainty = Told<'certainty'>;
export type FirstAidAction = Told<'firstAid'>[number]['action'];

/** When it happened, as an interval: hour limits run from its start, day windows from its end. */
export interface Interval {
  readonly from: string;
  readonly until: string;
}

/**
 * What has been told so far. `undefined` is a question that was not asked yet; `'unknown'` and `null` are the answer "not
 * known". Nothing here is ever a "no" that nobody gave. It lives in memory only.
 */
export interface Draft {
  readonly wearer?: 'self' | { readonly staffNumber: string };
  readonly unitId?: string;
  readonly what?: What;
  readonly extents: Readonly<Record<string, Extent>>;
  readonly manners: Readonly<Record<string, Manner>>;
  readonly stage?: Stage;
  readonly step?: string | null;
  /** The contract has no unknown stage: it is kept as "taking off, step not known", where any layer may have been off. */
  readonly stageNotKnown?: boolean;
  readonly occurred?: Interval;
  readonly touched?: Touched;
  readonly touchedWhere?: readonly Zone[];
  readonly callMe?: boolean;
  readonly foundWhole?: readonly string[];
  readonly brokenSkinBefore?: Ternary;
  readonly fluid?: Fluid;
  readonly task?: Task;
  readonly leftAreaAt?: string | null;
  readonly certainty?: Certainty;
  readonly agent?: string | null;
  readonly source?: string | null;
  readonly firstAid?: readonly FirstAidAction[];
  readonly buddy?: string | null;
  readonly account?: string | null;
  readonly anyoneElse?: Ternary;
}

/** Layers that failed, steps that went wrong, or neither because it was caught in time; all empty when not known. */
export interface What {
  readonly layers: readonly string[];
  readonly lapses: readonly Lapse[];
  readonly caughtInTime: boolean;
}

export const BODY_SIGNS = ['skinWet', 'skinCut', 'eyeSplash', 'mouthNoseSplash', 'sharpsInjury'] as const;
export type BodySign = (typeof BODY_SIGNS)[number];

/** What was seen on the body. The rest is "no" only when somebody looked for it, otherwise unknown. */
export interface Touched {
  readonly signs: readonly BodySign[];
  readonly lookedForTheRest: boolean;
}

export const EMPTY_DRAFT: Draft = { extents: {}, manners: {} };

/** The questions in the order in which they are asked; those about one layer carry its id. */
export type Question =
  | { readonly id: 'extent' | 'manner'; readonly layer: string }
  | {
      readonly id:
        | 'wearer'
        | 'unit'
        | 'what'
        | 'stage'
        | 'step'
        | 'occurred'
        | 'touched'
        | 'touchedWhere'
        | 'callMe'
        | 'foundWhole'
        | 'brokenSkinBefore'
        | 'fluid'
        | 'task'
        | 'leftAreaAt'
        | 'certainty'
        | 'agent'
        | 'source'
        | 'firstAid'
        | 'buddy'
        | 'account'
        | 'anyoneElse';
    };

/** The ensemble of the unit that the report names, else the only or first one of the site. */
export function ensembleOf(site: Site, unitId: string | undefined): Ensemble | undefined {
  const unit = site.units.find((each) => each.unitId === unitId);
  return site.ensembles.find((each) => each.id === unit?.ensembleId) ?? site.ensembles[0];
}

/** Layers that share a zone with one that failed, so that what is left of the barrier is known; all when none is named. */
export function layersToLookAt(ensemble: Ensemble, what: What | undefined): string[] {
  const failed = ensemble.layers.filter(({ id }) => what?.layers.includes(id));
  const zones = new Set(failed.flatMap((layer) => layer.zones));
  return ensemble.layers
    .filter(({ id }) => !what?.layers.includes(id))
    .filter((layer) => failed.length === 0 || layer.zones.some((zone) => zones.has(zone)))
    .map(({ id }) => id);
}

/** Every question that this draft has to pass, asked or not; the first ones are enough to send. */
export function questionsOf(draft: Draft, site: Site): readonly Question[] {
  const failed = draft.what?.layers ?? [];
  const ensemble = ensembleOf(site, draft.unitId);
  const skin = draft.touched?.signs.some((sign) => sign === 'skinWet' || sign === 'skinCut') ?? false;
  const questions: Question[] = [{ id: 'wearer' }];
  if (site.units.length > 1) questions.push({ id: 'unit' });
  questions.push({ id: 'what' });
  for (const layer of failed) questions.push({ id: 'extent', layer }, { id: 'manner', layer });
  questions.push({ id: 'stage' });
  if (draft.stage === 'removal' && !draft.stageNotKnown) questions.push({ id: 'step' });
  questions.push({ id: 'occurred' }, { id: 'touched' }, { id: 'callMe' });
  if (skin) questions.push({ id: 'touchedWhere' });
  if (ensemble && layersToLookAt(ensemble, draft.what).length > 0) questions.push({ id: 'foundWhole' });
  questions.push({ id: 'fluid' }, { id: 'brokenSkinBefore' }, { id: 'task' });
  if (draft.stage === 'patient-care') questions.push({ id: 'leftAreaAt' });
  questions.push({ id: 'certainty' });
  if (draft.certainty === 'confirmed' || draft.certainty === 'suspected') questions.push({ id: 'agent' });
  questions.push({ id: 'source' }, { id: 'firstAid' }, { id: 'buddy' }, { id: 'account' }, { id: 'anyoneElse' });
  return questions;
}

/** Who, which layer or lapse, when in the work, the time, what touched the body, and whether to call: the rest can wait. */
export function isEnough(draft: Draft): boolean {
  return (
    draft.wearer !== undefined &&
    draft.what !== undefined &&
    draft.stage !== undefined &&
    draft.occurred !== undefined &&
    draft.touched !== undefined &&
    draft.callMe !== undefined
  );
}

function seenOf(draft: Draft): ReportBody['seen'] {
  const { touched } = draft;
  if (!touched) return undefined;
  const seen: NonNullable<ReportBody['seen']> = {};
  for (const sign of BODY_SIGNS) {
    seen[sign] = touched.signs.includes(sign) ? 'yes' : touched.lookedForTheRest ? 'no' : 'unknown';
  }
  seen.brokenSkinBefore = draft.brokenSkinBefore ?? 'unknown';
  seen.zones = [...(draft.touchedWhere ?? [])];
  return seen;
}

/** The report as it is sent. Whatever was not asked, or is not known, is left out and so stays unknown. */
export function reportBodyOf(
  draft: Draft,
  ids: { readonly reportId: string; readonly eventId?: string },
  site: Site,
  confirmed: boolean,
): ReportBody {
  const { wearer, what, stage, occurred, callMe } = draft;
  if (!wearer || !what || !stage || !occurred || callMe === undefined) {
    throw new Error('A report needs its first answers before it can be sent.');
  }
  const known = <Value>(value: Value | null | undefined) => (value === null ? undefined : value);
  const seen = seenOf(draft);
  const optional: Partial<ReportBody> = {
    eventId: ids.eventId,
    unitId: draft.unitId,
    leftAreaAt: stage === 'patient-care' ? known(draft.leftAreaAt) : undefined,
    step: stage === 'removal' ? known(draft.step) : undefined,
    task: draft.task,
    fluid: draft.fluid,
    seen,
    firstAid: draft.firstAid?.map((action) => ({ action })),
    buddy: known(draft.buddy),
    anyoneElse: draft.anyoneElse,
    agent: draft.certainty === 'unknown' ? undefined : known(draft.agent),
    certainty: draft.certainty,
    source: known(draft.source),
    account: known(draft.account),
    confirmed: confirmed || undefined,
  };
  return {
    reportId: ids.reportId,
    wearer,
    kind: what.caughtInTime ? 'near-miss' : what.layers.length === 0 && what.lapses.length > 0 ? 'lapse' : 'breach',
    occurred: { ...occurred, timeZone: site.timeZone },
    stage,
    breaches: what.layers.map((layer) => ({
      layer,
      extent: draft.extents[layer] ?? 'unknown',
      manner: draft.manners[layer] ?? 'unknown',
    })),
    lapses: [...what.lapses],
    foundWhole: [...(draft.foundWhole ?? [])],
    callMe,
    ...(Object.fromEntries(Object.entries(optional).filter(([, value]) => value !== undefined)) as Partial<ReportBody>),
  };
}

/** Which question a pointer of a refusal speaks of, so that the words stand where the answer was given. */
export function questionAt(pointer: string, draft: Draft): Question {
  const [, field = '', index = '0', part = ''] = pointer.split('/');
  const layer = draft.what?.layers[Number(index)];
  if (field === 'breaches' && layer && part === 'extent') return { id: 'extent', layer };
  if (field === 'breaches' && layer && part === 'manner') return { id: 'manner', layer };
  const byField: Readonly<Record<string, Question['id']>> = {
    wearer: 'wearer',
    unitId: 'unit',
    kind: 'what',
    breaches: 'what',
    lapses: 'what',
    stage: 'stage',
    step: 'step',
    occurred: 'occurred',
    seen: 'touched',
    callMe: 'callMe',
    foundWhole: 'foundWhole',
    fluid: 'fluid',
    task: 'task',
    leftAreaAt: 'leftAreaAt',
    certainty: 'certainty',
    agent: 'agent',
    source: 'source',
    firstAid: 'firstAid',
    buddy: 'buddy',
    account: 'account',
    anyoneElse: 'anyoneElse',
  };
  return { id: byField[field] ?? 'what' } as Question;
}
