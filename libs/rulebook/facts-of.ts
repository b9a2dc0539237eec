import type { Breach, FactAnswer, Facts, RouteFacts, Stage, Ternary } from '#domain';

/** The part of a coded report that facts are drawn from; codes are those of the report form. */
export interface ReportedContent {
  readonly stage: Stage;
  readonly breaches: readonly Breach[];
  readonly lapses: readonly string[];
  readonly task: string;
  readonly fluid: string;
  readonly certainty: string;
  /** Answers given in the vocabulary itself; they win over whatever is drawn from the rest. */
  readonly facts: Facts;
}

export interface ReportedFacts {
  /** As derived from the ensemble and from what was seen. */
  readonly routes: RouteFacts;
  readonly content: ReportedContent;
}

/** Tasks that cannot be done without touching the patient. */
const BEDSIDE_TASKS = [
  'personal-care',
  'turning-or-lifting',
  'blood-sampling',
  'cannulation',
  'airway-procedure',
  'wound-care',
];
const SOILED_TASKS = ['cleaning-spill', 'waste-or-linen', 'specimen-handling'];
const CONTACT_ROUTES = ['percutaneous', 'mucosaEye', 'mucosaMouthNose', 'brokenSkin', 'intactSkin'] as const;

/** What each task says for certain. What it only makes likely stays unknown. */
function factsOfTask(task: string): Facts {
  if (BEDSIDE_TASKS.includes(task)) {
    return {
      activity: 'care',
      touchedPatient: 'yes',
      ...(task === 'airway-procedure' ? { aerosolProcedure: 'yes' } : {}),
      ...(task === 'turning-or-lifting' ? { extensiveBodyContact: 'yes' } : {}),
    };
  }
  if (task === 'after-death-care') return { activity: 'after-death', touchedPatient: 'yes', sourceIllness: 'later' };
  return SOILED_TASKS.includes(task) ? { handledSoiled: 'yes' } : {};
}

/**
 * Whether the patient's blood or body fluid was there, by the code of the report form. Disinfectant that wetted a layer may
 * have carried through what was on it, so it leaves the question open.
 */
export function bodyFluidOf(fluid: string): Ternary {
  switch (fluid) {
    case 'none':
      return 'no';
    case 'unknown':
    case 'disinfectant-only':
      return 'unknown';
    default:
      return 'yes';
  }
}

/**
 * The facts that a report answers, in the vocabulary `facts/v1`. Nothing is answered "no" for want of an answer: what the
 * report does not say is left out, and so is unknown.
 *
 * @example factsOf({ routes, content }).ppeBreach // 'yes' where a layer failed, otherwise not answered
 */
export function factsOf({ routes, content }: ReportedFacts): Facts {
  const { stage, breaches, lapses, task, fluid, certainty } = content;
  const drawn: Record<string, FactAnswer> = { ...routes, stage, ...factsOfTask(task) };
  // A used needle looks clean: no fluid seen does not mean none on a sharp.
  const seenFluid = bodyFluidOf(fluid);
  drawn['bodyFluid'] = seenFluid === 'no' && routes.percutaneous !== 'no' ? 'unknown' : seenFluid;
  if (breaches.length > 0 || lapses.length > 0) drawn['ppeBreach'] = 'yes';
  if (breaches.some(({ manner }) => manner === 'missing')) drawn['recommendedPpe'] = 'no';
  if (certainty === 'confirmed' || certainty === 'suspected') drawn['caseStatus'] = certainty;

  const given = Object.entries(content.facts).filter(([, answer]) => isAnswer(answer));
  const facts = { ...drawn, ...Object.fromEntries(given) };
  const contactPossible = facts['contactPossible'] ?? contactPossibleOf(facts);
  return Object.fromEntries(Object.entries({ ...facts, contactPossible }).filter(([, answer]) => isAnswer(answer)));
}

function isAnswer(answer: FactAnswer): boolean {
  return answer !== undefined && answer !== null && answer !== 'unknown';
}

/**
 * Whether blood or body fluid could have reached the body: "yes" if it did; "no" only if none was there, or if every route
 * is closed; otherwise nobody knows yet, and a person has to say.
 */
function contactPossibleOf(facts: Facts): Ternary {
  if (facts['bodyFluid'] === 'no') return 'no';
  const routes = CONTACT_ROUTES.map((route) => facts[route]);
  if (routes.every((answer) => answer === 'no')) return 'no';
  return facts['bodyFluid'] === 'yes' && routes.includes('yes') ? 'yes' : 'unknown';
}
