import type { AgentProfile, CategoryPlan, PlannedTest, ProphylaxisLimit, Restriction } from '#domain';
import { RulebookDefect } from '../refusals.js';
import type { Library } from './library.js';
import type { SourceRegister, WrittenEvidence } from './source-register.js';

type Written<T> = Omit<T, 'grade' | 'sources' | 'words'> & WrittenEvidence;

interface WrittenProfile {
  readonly id: string;
  readonly title: string;
  readonly validFrom: string;
  readonly supersededBy?: string;
  readonly table: string | null;
  readonly window: Written<AgentProfile['window']>;
  readonly threshold: Written<AgentProfile['threshold']>;
  readonly symptoms: readonly (WrittenEvidence & { readonly codes: readonly string[] })[];
  readonly tests?: readonly Written<PlannedTest>[];
  readonly prophylaxis?: readonly Written<ProphylaxisLimit>[];
  readonly categories: Readonly<
    Record<
      string,
      Omit<Written<CategoryPlan>, 'restrictions' | 'followUp'> & {
        readonly followUp?: boolean;
        readonly restrictions?: readonly Written<Restriction>[];
      }
    >
  >;
  readonly strictest: string;
  readonly cautions?: readonly string[];
}

type Texts = Readonly<
  Record<'symptoms' | 'restrictions' | 'tests' | 'prophylaxis' | 'cautions', Readonly<Record<string, string>>>
>;

const TEXT_FILE = 'profiles.en.yaml';

/** Reads profiles, whose words by code are shared: one symptom has one wording, whoever lists it. */
export class ProfileReader {
  private readonly texts: Texts;

  constructor(
    private readonly library: Library,
    private readonly sources: SourceRegister,
    private readonly agentNames: ReadonlyMap<string, string>,
  ) {
    this.texts = library.read<Texts>(TEXT_FILE, 'profile-texts');
  }

  read(file: string): AgentProfile {
    const written = this.library.read<WrittenProfile>(file, 'profile');
    const [agent = '', authority = '', version = ''] = written.id.split(/[/@]/);
    const named = `${authority}/${agent}@${version}.yaml`;
    if (file !== `profiles/${named}`) throw new RulebookDefect(file, '/id', `the file must be named ${named}`);
    const agentName = this.agentNames.get(agent);
    if (agentName === undefined) throw new RulebookDefect(file, '/id', `“${agent}” is not in agents.yaml`);
    if (!(written.strictest in written.categories)) {
      throw new RulebookDefect(file, '/strictest', 'is not among the categories');
    }
    const evidence = (from: WrittenEvidence, pointer: string) => this.sources.evidence(from, file, pointer);
    const words = (part: keyof Texts, code: string, pointer: string) => this.wordsOf(part, code, file, pointer);
    return {
      id: written.id,
      agent,
      agentName,
      authority,
      version,
      title: written.title,
      validFrom: written.validFrom,
      ...(written.supersededBy === undefined ? {} : { supersededBy: written.supersededBy }),
      table: written.table,
      window: { ...written.window, ...evidence(written.window, '/window') },
      threshold: { ...written.threshold, ...evidence(written.threshold, '/threshold') },
      symptoms: written.symptoms.flatMap((group, i) =>
        group.codes.map((code, j) => ({
          code,
          words: words('symptoms', code, `/symptoms/${i}/codes/${j}`),
          ...evidence(group, `/symptoms/${i}`),
        })),
      ),
      tests: (written.tests ?? []).map((test, i) => ({
        ...test,
        words: words('tests', test.code, `/tests/${i}/code`),
        ...evidence(test, `/tests/${i}`),
      })),
      prophylaxis: (written.prophylaxis ?? []).map((limit, i) => ({
        ...limit,
        words: words('prophylaxis', limit.code, `/prophylaxis/${i}/code`),
        ...evidence(limit, `/prophylaxis/${i}`),
      })),
      categories: Object.fromEntries(
        Object.entries(written.categories).map(([category, plan]): [string, CategoryPlan] => {
          const pointer = `/categories/${category}`;
          return [
            category,
            {
              ...plan,
              ...evidence(plan, pointer),
              followUp: plan.followUp ?? true,
              restrictions: (plan.restrictions ?? []).map((restriction, i) => ({
                ...restriction,
                words: words('restrictions', restriction.code, `${pointer}/restrictions/${i}/code`),
                ...evidence(restriction, `${pointer}/restrictions/${i}`),
              })),
            },
          ];
        }),
      ),
      strictest: written.strictest,
      cautions: (written.cautions ?? []).map((code, i) => words('cautions', code, `/cautions/${i}`)),
    };
  }

  private wordsOf(part: keyof Texts, code: string, file: string, pointer: string): string {
    const words = this.texts[part][code];
    if (words === undefined) throw new RulebookDefect(file, pointer, `“${code}” has no words in ${TEXT_FILE}`);
    return words;
  }
}
