import {
  ROUTES,
  type Assessment,
  type Ensemble,
  type EvidenceGrade,
  type RouteFacts,
  type SequenceStep,
  type Source,
} from '#domain';
import { needsDecision } from '../followup/duty.js';
import type { FactQuestion, FirstAidStep } from '../ports/rulebook.js';
import type { IncidentContent } from '../records/incident.js';
import type { SiteSettings } from '../records/people.js';

export interface AdvisedAction {
  readonly words: string;
  readonly grade: EvidenceGrade;
  readonly sources: readonly Source[];
}

/** A step of the removal sequence that is still to be done, as the buddy reads it aloud. */
export interface AdvisedRemovalStep {
  readonly id: string;
  readonly words: string;
  readonly layers: readonly string[];
  readonly checks: readonly string[];
  /** This step takes off a layer that failed. */
  readonly breached: boolean;
}

/** What to do now, in the order in which it is read. It never names the category. */
export interface Advice {
  readonly emergency: { readonly words: string; readonly telephone: string };
  readonly telephones: readonly { readonly who: string; readonly telephone: string }[];
  readonly firstAid: readonly FirstAidStep[];
  readonly removal: {
    /** What the failure of a layer at this stage asks for, before the next step. */
    readonly rule: readonly string[];
    /** What goes before the sequence because of the route, for example a sharp or an eye. */
    readonly exceptions: readonly string[];
    readonly steps: readonly AdvisedRemovalStep[];
    /** For somebody who collapses. */
    readonly emergency: readonly string[];
  };
  /** How to act until occupational health has asked: actions, never the category. */
  readonly untilAsked: readonly AdvisedAction[];
  readonly cautions: readonly string[];
}

export interface AdviceRequest {
  readonly settings: SiteSettings;
  readonly ensemble: Ensemble;
  readonly content: IncidentContent;
  readonly routes: RouteFacts;
  readonly assessment: Assessment;
  readonly firstAid: readonly FirstAidStep[];
  readonly questions: Readonly<Record<string, FactQuestion>>;
}

/** What the duty status says, which every report that needs a decision sets. */
const NO_SHIFT: AdvisedAction = {
  words: 'No shift until occupational health has decided.',
  grade: 'remembered',
  sources: [{ body: 'Common practice', title: 'Practice of the trade without a published source', year: 'undated' }],
};

/** More questions than these nobody keeps in mind; occupational health asks the rest. */
const QUESTIONS_NAMED = 3;

function telephonesOf({ occupationalHealth, onCallClinician }: SiteSettings): Advice['telephones'] {
  return [
    { who: 'Occupational health', telephone: occupationalHealth.telephone },
    ...(onCallClinician ? [{ who: 'On-call clinician, at any hour', telephone: onCallClinician.telephone }] : []),
  ];
}

function stepsLeft({ removal }: Ensemble, { stage, step }: IncidentContent): readonly SequenceStep[] {
  if (stage === 'donning' || stage === 'after-removal') return [];
  // The step that was being done is not over.
  const reached = stage === 'removal' ? removal.findIndex(({ id }) => id === step) : 0;
  return removal.slice(Math.max(0, reached));
}

function ruleFor({ breachRules }: Ensemble, { stage, breaches, kind }: IncidentContent): readonly string[] {
  switch (stage) {
    case 'donning':
      return [...new Set(breaches.flatMap(({ layer }) => breachRules.donning[layer] ?? []))];
    case 'patient-care':
      return kind === 'near-miss' ? [] : breachRules.patientCare;
    case 'removal':
      return kind === 'near-miss' ? [] : breachRules.removal;
    case 'after-removal':
      return [];
  }
}

function removalAdvice(ensemble: Ensemble, content: IncidentContent, routes: RouteFacts): Advice['removal'] {
  const failed = new Set(content.breaches.map(({ layer }) => layer));
  const steps = stepsLeft(ensemble, content);
  return {
    rule: ruleFor(ensemble, content),
    exceptions:
      steps.length === 0
        ? []
        : ROUTES.filter((route) => routes[route] === 'yes').flatMap(
            (route) => ensemble.breachRules.exceptions[route] ?? [],
          ),
    steps: steps.map(({ id, words, layers, checks = [] }) => ({
      id,
      words,
      layers,
      checks,
      breached: layers.some((layer) => failed.has(layer)),
    })),
    emergency: steps.length === 0 ? [] : ensemble.breachRules.emergencyRemoval,
  };
}

function untilAsked({ content, assessment, questions }: AdviceRequest): readonly AdvisedAction[] {
  if (content.kind === 'near-miss') return [];
  const { settled, level, grade, sources, actions, openQuestions, reachable } = assessment;
  const decided = settled && level === 0;
  const asked = openQuestions
    .slice(0, QUESTIONS_NAMED)
    .map(({ fact }) => questions[fact]?.question ?? fact)
    .join(' ');
  const treatAs: readonly AdvisedAction[] = decided
    ? []
    : [
        {
          words: asked
            ? `Treat this as an exposure until occupational health has asked: ${asked}`
            : 'Treat this as an exposure until occupational health has asked you about it.',
          grade,
          sources,
        },
      ];
  const spoken = actions
    // Nothing is eased, offered or ordered before a person has decided.
    .filter(({ atOnce }) => atOnce)
    // An action that is worded by its category would tell the buddy what only the wearer and occupational health may know.
    .filter(({ words }) => !reachable.some((category) => hasPhrase(words, category)));
  return [
    ...treatAs,
    ...(needsDecision(assessment) ? [NO_SHIFT] : []),
    ...spoken.map(({ words, grade, sources }) => ({ words, grade, sources })),
  ];
}

/** Whole words only: a category called “low” does not stand in “follow”. */
function hasPhrase(words: string, phrase: string): boolean {
  const plain = (text: string) =>
    ` ${text
      .toLowerCase()
      .replaceAll(/[^\p{L}\p{N}]+/gu, ' ')
      .trim()} `;
  return plain(words).includes(plain(phrase));
}

function cautionsOf({ ensemble, content, assessment, firstAid }: AdviceRequest): readonly string[] {
  const unread = [assessment.grade, ensemble.grade, ...firstAid.map(({ grade }) => grade)].includes('remembered');
  return [
    'This is advice for the first minutes. A person in occupational health reads every report and decides.',
    ...(content.stage === 'removal' && content.step === null
      ? ['The step that was reached is not known, so the whole removal sequence is listed.']
      : []),
    ...(ensemble.needsLocalConfirmation
      ? [
          'The sequence is common practice and has to be confirmed by this site. Where your own sequence differs, follow it.',
        ]
      : []),
    ...(unread ? ['Part of this rests on statements that were remembered and not looked up.'] : []),
  ];
}

/**
 * The first minutes after a report: the emergency route, the telephone, first aid, the removal that is left, and how to
 * act until a person has asked. Pure.
 */
export function advise(request: AdviceRequest): Advice {
  const { settings, ensemble, content, routes, firstAid } = request;
  return {
    emergency: settings.emergency,
    telephones: telephonesOf(settings),
    firstAid,
    removal: removalAdvice(ensemble, content, routes),
    untilAsked: untilAsked(request),
    cautions: cautionsOf(request),
  };
}
