import type { Evidence, EvidenceGrade, Source } from '#domain';
import { RulebookDefect } from '../refusals.js';
import type { Library } from './library.js';

type ReadAs = 'own-page' | 'mirror' | 'reprint' | 'quotation' | 'news' | 'front-matter' | 'not-read' | 'no-source';
type RegisterEntry = Source & { readonly read: ReadAs };

/** A reference to the register, to one section of an entry of it, or a source written out. */
export type SourceReference = string | { readonly id: string; readonly section: string } | Source;

/** Evidence as it stands in a data file. */
export interface WrittenEvidence {
  readonly grade: EvidenceGrade;
  readonly sources: readonly SourceReference[];
}

/** Said beside the section, so that nobody takes a copy for the issuer's own page. */
const HOW_READ: Readonly<Record<ReadAs, string | null>> = {
  'own-page': null,
  mirror: 'read on a mirror',
  reprint: 'read in a reprint',
  quotation: 'read in a quotation',
  news: 'read in a news report',
  'front-matter': 'only its title pages were read',
  'not-read': 'not looked up',
  'no-source': null,
};

/** Every source that the rulebook rests on, by its id in `sources.yaml`. */
export class SourceRegister {
  private constructor(private readonly entries: ReadonlyMap<string, RegisterEntry>) {}

  static read(library: Library): SourceRegister {
    return new SourceRegister(
      new Map(Object.entries(library.read<Record<string, RegisterEntry>>('sources.yaml', 'sources'))),
    );
  }

  /** Resolves the evidence at one place of a file. */
  evidence({ grade, sources }: WrittenEvidence, file: string, pointer: string): Evidence {
    return { grade, sources: sources.map((reference, i) => this.resolve(reference, file, `${pointer}/sources/${i}`)) };
  }

  private resolve(reference: SourceReference, file: string, pointer: string): Source {
    if (typeof reference === 'object' && 'body' in reference) return reference;
    const { id, section } = typeof reference === 'string' ? { id: reference, section: undefined } : reference;
    const entry = this.entries.get(id);
    if (!entry) throw new RulebookDefect(file, pointer, `“${id}” is not in sources.yaml`);
    const { read, section: usual, ...source } = entry;
    const said = [section ?? usual, HOW_READ[read]].filter((part) => part).join('; ');
    return said === '' ? source : { ...source, section: said };
  }
}
