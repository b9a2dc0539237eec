import type { Ensemble, FactVocabulary } from '#domain';
import type { FactQuestion, FirstAidStep, Rulebook } from '../ports/rulebook.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { Actor, SiteSettings } from '../records/people.js';

/** A code with the words that a form shows for it. */
export interface Worded<Code extends string = string> {
  readonly code: Code;
  readonly words: string;
}

export interface SiteView {
  readonly siteId: string;
  readonly name: string;
  readonly timeZone: string;
  readonly emergency: SiteSettings['emergency'];
  readonly occupationalHealth: SiteSettings['occupationalHealth'];
  readonly onCallClinician: SiteSettings['onCallClinician'];
  readonly units: readonly {
    readonly unitId: string;
    readonly name: string;
    readonly ensembleId: string;
    readonly ensembleVersion: string;
  }[];
  /** The ensembles of the units, each once. */
  readonly ensembles: readonly Ensemble[];
  readonly agents: readonly { readonly code: string; readonly name: string }[];
  readonly form: {
    readonly tasks: readonly Worded[];
    readonly fluids: readonly Worded[];
    readonly lapses: readonly Worded[];
    readonly firstAidActions: readonly Worded[];
    readonly stages: readonly Worded[];
    readonly extents: readonly Worded[];
    readonly manners: readonly Worded[];
    readonly zones: readonly Worded[];
    readonly certainties: readonly Worded[];
    readonly measurementSites: readonly Worded[];
    readonly alertOutcomes: readonly Worded[];
  };
  /** First aid for every route, before anything is asked. */
  readonly firstAid: readonly FirstAidStep[];
  readonly vocabulary: FactVocabulary;
  readonly questions: Readonly<Record<string, FactQuestion>>;
  /** The administrator's alone; null for everybody else. */
  readonly settings: SiteSettings | null;
}

/** What the forms and the head of every page need, without a clinical fact about anybody. */
export class ReadSite {
  constructor(
    protected readonly work: UnitOfWork,
    protected readonly rulebook: Rulebook,
  ) {}

  execute(_actor: Actor): Promise<SiteView> {
    throw new Error('This use case is not built yet.');
  }
}
