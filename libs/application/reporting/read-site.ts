import { ROUTES, type Ensemble, type FactVocabulary, type RouteFacts } from '#domain';
import { authorise } from '../access/authorise.js';
import type { FactQuestion, FirstAidStep, Rulebook } from '../ports/rulebook.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { Actor, SiteSettings, UnitRecord } from '../records/people.js';
import { FORM_WORDS, type Worded } from './form-words.js';

export interface SiteView {
  readonly siteId: string;
  readonly name: string;
  readonly timeZone: string;
  readonly emergency: SiteSettings['emergency'];
  readonly occupationalHealth: SiteSettings['occupationalHealth'];
  readonly onCallClinician: SiteSettings['onCallClinician'];
  readonly units: readonly UnitRecord[];
  /** The ensembles of the units, each once. */
  readonly ensembles: readonly Ensemble[];
  readonly agents: readonly { readonly code: string; readonly name: string }[];
  /** Codes and words of every closed list in the forms. */
  readonly form: { readonly [List in keyof typeof FORM_WORDS]: readonly Worded[] };
  /** First aid for every route, before anything is asked. */
  readonly firstAid: readonly FirstAidStep[];
  readonly vocabulary: FactVocabulary;
  readonly questions: Readonly<Record<string, FactQuestion>>;
  /** The administrator's alone; null for everybody else. */
  readonly settings: SiteSettings | null;
}

/** Nothing has been asked yet, so every step says what it is for. */
const NOTHING_ASKED = Object.fromEntries(ROUTES.map((route) => [route, 'unknown'])) as RouteFacts;

/** What the forms and the head of every page need, without a clinical fact about anybody. */
export class ReadSite {
  constructor(
    private readonly work: UnitOfWork,
    private readonly rulebook: Rulebook,
  ) {}

  async execute(actor: Actor): Promise<SiteView> {
    authorise(actor, 'site.read');
    const { site, units } = await this.work.run(actor, async (tx) => ({
      site: await tx.site.read(),
      units: await tx.site.units(),
    }));
    const worn = new Map(
      units.map(({ ensembleId, ensembleVersion }) => [
        `${ensembleId}@${ensembleVersion}`,
        { ensembleId, ensembleVersion },
      ]),
    );
    const { settings } = site;
    return {
      siteId: site.siteId,
      name: site.name,
      timeZone: site.timeZone,
      emergency: settings.emergency,
      occupationalHealth: settings.occupationalHealth,
      onCallClinician: settings.onCallClinician,
      units,
      ensembles: [...worn.values()].map(({ ensembleId, ensembleVersion }) =>
        this.rulebook.ensemble(ensembleId, ensembleVersion),
      ),
      agents: this.rulebook.agents(),
      form: FORM_WORDS,
      firstAid: this.rulebook.firstAid(NOTHING_ASKED),
      vocabulary: this.rulebook.vocabulary,
      questions: this.rulebook.questions,
      settings: actor.role === 'administrator' ? settings : null,
    };
  }
}
