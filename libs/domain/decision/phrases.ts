import type { RankedCategory } from './categories.js';
import type { CompiledTable } from './compile.js';
import type { EvidenceGrade, Source } from './evidence.js';
import { worstOf } from './reach.js';

/** The words of one table that do not depend on the facts, put together once. */
export class Phrases {
  private readonly leadIns: readonly string[];
  private readonly rules: readonly string[];
  private readonly sources = new Map<Source, string>();
  private readonly sets = new Map<number, readonly string[]>();
  private readonly ranking: readonly RankedCategory[];
  /** How the table is named in a sentence. */
  readonly name: string;

  constructor({ table, ranking, outcomes }: CompiledTable) {
    this.ranking = ranking;
    this.name = `“${table.title}” (${table.authority}, version ${table.version})`;
    this.leadIns = ranking.map(({ words }) => `By ${this.name} the category is “${words}”.`);
    this.rules = table.rules.map(({ id, row, words }) => `Rule ${id}${rowWords(id, row)}: ${sentence(words)}`);
    for (const source of outcomes.flatMap((outcome) => outcome.sources)) this.sources.set(source, sourceWords(source));
  }

  /** Category words of a set of ranks, worst first. */
  categories(ranks: number): readonly string[] {
    let words = this.sets.get(ranks);
    if (words === undefined) {
      words = Object.freeze(wordsOf(this.ranking, ranks));
      // A set of a few categories comes again and again; with many there could be millions.
      if (this.ranking.length <= 8) this.sets.set(ranks, words);
    }
    return words;
  }

  category(rank: number): string {
    return (this.ranking[rank] as RankedCategory).words;
  }

  leadIn(rank: number): string {
    return this.leadIns[rank] as string;
  }

  rule(index: number): string {
    return this.rules[index] as string;
  }

  evidence(sources: readonly Source[], grade: EvidenceGrade, settled: boolean): string {
    let named = '';
    for (const source of sources) named += (named === '' ? 'Source: ' : '; ') + (this.sources.get(source) ?? '');
    const weakest = settled ? 'Weakest evidence' : 'Weakest evidence of all that can still apply';
    return `${named === '' ? 'No source stands behind this' : named}. ${weakest}: ${GRADE_WORDS[grade]}.`;
  }
}

const GRADE_WORDS: Readonly<Record<EvidenceGrade, string>> = {
  read: "read in the issuer's own text",
  'second-hand': 'read in a reprint or summary',
  derived: 'derived by us',
  remembered: 'from memory, checked by nobody yet',
};

function rowWords(id: string, row: string | undefined): string {
  return row === undefined || row === id ? '' : ` (row ${row})`;
}

function sourceWords({ body, title, year, section }: Source): string {
  return `${body}, ${title}, ${year}${section ? `, ${section}` : ''}`;
}

function wordsOf(ranking: readonly RankedCategory[], ranks: number): string[] {
  const words: string[] = [];
  for (let rest = ranks; rest !== 0;) {
    const worst = worstOf(rest);
    words.push((ranking[worst] as RankedCategory).words);
    rest ^= 1 << worst;
  }
  return words;
}

/** With a full stop, unless it ends in a mark already. */
export function sentence(words: string): string {
  return /[.!?]$/.test(words) ? words : `${words}.`;
}

/** `a, b and c` */
export function listed(words: readonly string[], last = 'and'): string {
  if (words.length < 2) return words.join('');
  return `${words.slice(0, -1).join(', ')} ${last} ${words[words.length - 1] ?? ''}`;
}
