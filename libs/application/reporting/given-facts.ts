import { ContradictoryFacts, pointerStep, ROUTES, type Facts } from '#domain';

/** Whether something reached the body: an answer of "no" here is what makes an exposure disappear. */
const EXPOSURES: ReadonlySet<string> = new Set([...ROUTES, 'contactPossible']);

const isKnown = (answer: unknown) => answer !== undefined && answer !== null && answer !== 'unknown';

/**
 * What was seen overrides the derivation upward, never downward without a clinician: a wearer's "no" to a route is taken
 * only where layers that were looked at and found whole say the same.
 */
export function requireNoDownwardAnswer(
  answered: { readonly facts: Facts; readonly byClinician: boolean },
  derived: Facts,
): void {
  if (answered.byClinician) return;
  for (const [fact, answer] of Object.entries(answered.facts)) {
    if (!EXPOSURES.has(fact) || answer !== 'no' || derived[fact] === 'no') continue;
    throw new ContradictoryFacts('This is answered "no", but the layers that were found whole do not show it.', {
      pointer: `/facts${pointerStep(fact)}`,
      accepted:
        '"yes" or "unknown"; or name the layers that were looked at and found whole; a clinician may answer "no"',
    });
  }
}

/**
 * Answers given earlier, as far as they still stand: where the new telling makes something certain, an older "no" to it
 * falls away. Differing facts count as the worse.
 */
export function stillStanding<Given extends Facts>(earlier: Given, derived: Facts): Given {
  return Object.fromEntries(
    Object.entries(earlier).filter(
      ([fact, answer]) => isKnown(answer) && !(EXPOSURES.has(fact) && answer === 'no' && derived[fact] === 'yes'),
    ),
  ) as Given;
}
