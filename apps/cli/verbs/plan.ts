import { NOT_CLASSIFIED, planFollowUp, type AgentProfile } from '#domain';
import { loadRulebook, type Rulebook } from '#rulebook';
import { BadUsage, CommandRefused } from '../problem.js';
import type { Verb, VerbOptions } from '../verb.js';

const usage =
  'plan --profile <agent>/<authority>[@version] [--category <c>] --zone <IANA> --exposed-at <RFC 3339 instant>[,...]';

/** Plans the follow-up of an exposure and prints it. Without a category the strictest is assumed, and the plan says so. */
export const verb: Verb = {
  usage,
  options: {
    profile: { type: 'string' },
    category: { type: 'string' },
    zone: { type: 'string' },
    'exposed-at': { type: 'string' },
  },
  async run(options, terminal) {
    const rulebook = loadRulebook();
    const profile = rulebook.profile(required(options, 'profile'));
    const named = namesOfCategories(rulebook, profile);
    const { profiles, category, regime, dayZero, lastDay, timeZone, checks, restrictions, ...monitored } = planFollowUp(
      {
        profile,
        category: categoryIdOf(named, options['category']),
        timeZone: required(options, 'zone'),
        exposures: required(options, 'exposed-at')
          .split(',')
          .map((instant) => instant.trim()),
      },
    );
    const { thresholds, symptoms, cautions } = monitored;
    const printed = {
      profile: profiles[0],
      category: named.get(category) ?? category,
      categoryId: category,
      regime,
      dayZero,
      lastDay,
      timeZone,
      checks,
      restrictions,
      thresholds,
      symptoms,
      cautions,
    };
    terminal.stdout.write(`${JSON.stringify(printed, null, 2)}\n`);
    return 0;
  },
};

function required(options: VerbOptions, name: string): string {
  const value = options[name];
  if (typeof value !== 'string' || value === '') throw new BadUsage(`--${name} is missing.`, `innerglove ${usage}`);
  return value;
}

/** Category ids with the issuer's words for them; an id is its own word where the rulebook has no table. */
function namesOfCategories(rulebook: Rulebook, { table, categories }: AgentProfile): ReadonlyMap<string, string> {
  const words = new Map(
    table === null ? [] : rulebook.table(table).table.categories.map((category) => [category.id, category.words]),
  );
  return new Map(Object.keys(categories).map((id) => [id, words.get(id) ?? id]));
}

/** Accepts the id or the issuer's words, whatever the case. Null stands for "not known". */
function categoryIdOf(named: ReadonlyMap<string, string>, given: VerbOptions[string]): string | null {
  if (typeof given !== 'string') return null;
  const asked = given.trim().toLowerCase();
  if (asked === NOT_CLASSIFIED || asked === 'not classified by this authority') return null;
  for (const [id, words] of named) {
    if (id.toLowerCase() === asked || words.toLowerCase() === asked) return id;
  }
  throw new CommandRefused(
    'unknown-category',
    'The profile has no plan for this category.',
    `one of: ${[...named].map(([id, words]) => (id === words ? id : `${id} (${words})`)).join(', ')}; or none, for the strictest`,
    '/category',
  );
}
