import type { Evidence, Route, RouteFacts } from '#domain';
import { RulebookDefect } from './refusals.js';
import { textsBeside, type Library } from './reading/library.js';
import type { SourceRegister, WrittenEvidence } from './reading/source-register.js';

/** One thing to do at once. */
export interface FirstAidStep extends Evidence {
  readonly code: string;
  readonly words: string;
  /** How long to rinse, where somebody published it; null means that nobody did, not that a moment is enough. */
  readonly minutes: number | null;
}

interface RoutedStep extends FirstAidStep {
  /** The routes it is for; null for every incident. */
  readonly routes: readonly Route[] | null;
}

type WrittenStep = WrittenEvidence & {
  readonly code: string;
  readonly routes: 'any' | readonly Route[];
  readonly minutes: number | null;
};

/** The steps by route, in the order in which they are done. */
export class FirstAid {
  private constructor(
    private readonly steps: readonly RoutedStep[],
    private readonly unsure: Readonly<Record<string, string>>,
  ) {}

  static read(library: Library, sources: SourceRegister): FirstAid {
    const file = 'first-aid/steps.yaml';
    const textFile = textsBeside(file);
    const { steps } = library.read<{ steps: readonly WrittenStep[] }>(file, 'first-aid');
    const texts = library.read<{ steps: Record<string, string>; unsure: Record<string, string> }>(
      textFile,
      'first-aid-texts',
    );
    return new FirstAid(
      steps.map(({ code, routes, minutes, ...evidence }, i) => {
        const words = texts.steps[code];
        if (words === undefined) throw new RulebookDefect(textFile, '/steps', `has no words for “${code}”`);
        for (const route of routes === 'any' ? [] : routes) {
          if (texts.unsure[route] === undefined) throw new RulebookDefect(textFile, '/unsure', `has no “${route}”`);
        }
        return {
          code,
          words,
          minutes,
          routes: routes === 'any' ? null : routes,
          ...sources.evidence(evidence, file, `/steps/${i}`),
        };
      }),
      texts.unsure,
    );
  }

  /** What to do for these routes. A route that nobody can rule out is treated, and its step says that it is in doubt. */
  for(routes: RouteFacts): FirstAidStep[] {
    return this.steps.flatMap(({ routes: meant, ...step }) => {
      if (meant === null || meant.some((route) => routes[route] === 'yes')) return [step];
      const doubted = meant.find((route) => routes[route] === 'unknown');
      return doubted === undefined
        ? []
        : [{ ...step, words: `${this.unsure[doubted] ?? ''} ${inSentence(step.words)}` }];
    });
  }
}

function inSentence(words: string): string {
  return words.charAt(0).toLowerCase() + words.slice(1);
}
