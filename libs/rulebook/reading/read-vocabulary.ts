import type { FactVocabulary } from '#domain';
import { RulebookDefect } from '../refusals.js';
import type { Library } from './library.js';

/** A fact put to a person, in plain words. */
export interface Question {
  /** A few words for it, as they stand in a sentence or a list. */
  readonly name: string;
  readonly question: string;
  readonly help: string;
  /** Labels of the values; absent for a quantity. */
  readonly values?: Readonly<Record<string, string>>;
}

export interface AskableVocabulary {
  readonly vocabulary: FactVocabulary;
  readonly questions: Readonly<Record<string, Question>>;
}

/** The facts of one version, each with its question: a fact that nobody can be asked is a defect. */
export function readVocabulary(library: Library, version: string): AskableVocabulary {
  const vocabulary = library.read<FactVocabulary>(`${version}.yaml`, 'vocabulary');
  const file = `${version}.en.yaml`;
  const { version: worded, questions } = library.read<{ version: string; questions: Record<string, Question> }>(
    file,
    'questions',
  );
  if (worded !== vocabulary.version) throw new RulebookDefect(file, '/version', 'is that of another vocabulary');
  for (const [fact, definition] of Object.entries(vocabulary.facts)) {
    const question = questions[fact];
    if (!question) throw new RulebookDefect(file, '/questions', `has no question for “${fact}”`);
    const values = definition.kind === 'choice' ? definition.values : definition.kind === 'yesNo' ? ['yes', 'no'] : [];
    const labelled = Object.keys(question.values ?? {});
    if ([...values].sort().join() !== labelled.sort().join()) {
      throw new RulebookDefect(file, `/questions/${fact}/values`, 'does not label exactly the values of the fact');
    }
  }
  for (const fact of Object.keys(questions)) {
    if (!vocabulary.facts[fact]) throw new RulebookDefect(file, `/questions/${fact}`, 'asks for an unknown fact');
  }
  const names = Object.fromEntries(Object.entries(questions).map(([fact, { name }]) => [fact, name]));
  return { vocabulary: { ...vocabulary, names }, questions };
}
