import {
  compileTable,
  DomainError,
  type AgentProfile,
  type CompiledTable,
  type DecisionTable,
  type Ensemble,
  type FactVocabulary,
  type RouteFacts,
} from '#domain';
import { FirstAid, type FirstAidStep } from './first-aid.js';
import { Library } from './reading/library.js';
import { readEnsemble } from './reading/read-ensemble.js';
import { ProfileReader } from './reading/read-profile.js';
import { readTable, readTableFile } from './reading/read-table.js';
import { readVocabulary, type Question } from './reading/read-vocabulary.js';
import { SourceRegister } from './reading/source-register.js';
import { RulebookDefect, UnknownEnsemble, UnknownProfile, UnknownTable } from './refusals.js';
import { hashTable } from './table-hash.js';

const VOCABULARY = 'facts/v1';

export interface Agent {
  readonly code: string;
  readonly name: string;
}

/** Which table and profile govern an agent by default; the first rule that matches holds. */
export interface DefaultGoverning {
  readonly agent: string;
  readonly certainty: 'confirmed' | 'suspected' | 'any';
  readonly table: string;
  readonly profile: string;
}

type Governs = Pick<DefaultGoverning, 'table' | 'profile'>;

/** Decision tables, agent profiles, ensembles and first aid: read, checked against their schemas, and compiled once. */
export class Rulebook {
  readonly vocabulary: FactVocabulary;
  /** Every fact as a question in plain words. */
  readonly questions: Readonly<Record<string, Question>>;
  readonly defaultGoverning: readonly DefaultGoverning[];
  /** What stands in where no table for the agent is live. */
  readonly fallback: Governs;
  private readonly sources: SourceRegister;
  private readonly agentList: readonly Agent[];
  private readonly compiled: readonly CompiledTable[];
  private readonly profileList: readonly AgentProfile[];
  private readonly ensembleList: readonly Ensemble[];
  private readonly aid: FirstAid;

  constructor(private readonly library: Library) {
    this.sources = SourceRegister.read(library);
    const { vocabulary, questions } = readVocabulary(library, VOCABULARY);
    this.vocabulary = vocabulary;
    this.questions = questions;
    this.agentList = library.read<{ agents: readonly Agent[] }>('agents.yaml', 'agents').agents;
    this.compiled = library
      .dataFiles('tables')
      .map((file) => this.compile(readTable(library, this.sources, file), file))
      .sort((a, b) => oldestFirst(a.table, b.table));
    const names = new Map(this.agentList.map(({ code, name }) => [code, name]));
    const reader = new ProfileReader(library, this.sources, names);
    this.profileList = library
      .dataFiles('profiles')
      .map((file) => {
        const profile = reader.read(file);
        this.requireCategoriesOfTable(profile, file);
        return profile;
      })
      .sort((a, b) => oldestFirst(a, b));
    this.ensembleList = library.dataFiles('ensembles').map((file) => readEnsemble(library, this.sources, file));
    this.aid = FirstAid.read(library, this.sources);
    const governing = library.read<{ fallback: Governs; rules: DefaultGoverning[] }>('governing.yaml', 'governing');
    this.fallback = governing.fallback;
    this.defaultGoverning = governing.rules;
    this.requireGoverning();
  }

  /** Every table in every version, oldest first. */
  tables(): readonly CompiledTable[] {
    return this.compiled;
  }

  /** A table by `id`, then the newest, or by `id@version`. */
  table(ref: string): CompiledTable {
    const [id, version] = split(ref);
    const found = this.compiled.findLast(
      ({ table }) => table.id === id && (version === undefined || table.version === version),
    );
    if (found) return found;
    throw new UnknownTable(this.compiled.map(({ table }) => `${table.id}@${table.version}`));
  }

  /**
   * Reads a table from a file of one's own, its words in it or in the file of texts beside it, and compiles it as if it
   * were one of ours.
   */
  readTable(path: string): CompiledTable {
    return this.compile(readTableFile(this.library, this.sources, path), path);
  }

  profiles(): readonly AgentProfile[] {
    return this.profileList;
  }

  /** A profile by `agent/authority`, then the newest that is not superseded, or by `agent/authority@version`. */
  profile(ref: string): AgentProfile {
    const [name, version] = split(ref);
    const found = this.profileList.filter(
      (profile) =>
        `${profile.agent}/${profile.authority}` === name && (version === undefined || profile.version === version),
    );
    const newest = found.findLast(({ supersededBy }) => supersededBy === undefined) ?? found.at(-1);
    if (newest) return newest;
    throw new UnknownProfile(this.profileList.map(({ id }) => id));
  }

  agents(): readonly Agent[] {
    return this.agentList;
  }

  ensembles(): readonly Ensemble[] {
    return this.ensembleList;
  }

  /** An ensemble by id, the newest unless a version is given. */
  ensemble(id: string, version?: string): Ensemble {
    const found = this.ensembleList.findLast(
      (ensemble) => ensemble.id === id && (version === undefined || ensemble.version === version),
    );
    if (found) return found;
    throw new UnknownEnsemble(this.ensembleList.map((ensemble) => `${ensemble.id}@${ensemble.version}`));
  }

  /** What to do at once, emergency first. A route that is not known to be closed is treated as well. */
  firstAid(routes: RouteFacts): readonly FirstAidStep[] {
    return this.aid.for(routes);
  }

  /** The rules and adjustments of a table that nobody has looked up yet, by id. Empty: it may govern anywhere. */
  needsConfirmation(ref: string): readonly string[] {
    const { rules, adjustments } = this.table(ref).table;
    return [...rules, ...adjustments].filter(({ grade }) => grade === 'remembered').map(({ id }) => id);
  }

  private compile(table: DecisionTable, file: string): CompiledTable {
    try {
      return compileTable(table, this.vocabulary, hashTable(table));
    } catch (error) {
      if (!(error instanceof DomainError)) throw error;
      throw new RulebookDefect(file, error.pointer ?? '', error.message, error.accepted, error);
    }
  }

  /** A category without a plan would leave somebody exposed without a schedule. */
  private requireCategoriesOfTable({ table: id, categories }: AgentProfile, file: string): void {
    const planned = Object.keys(categories);
    const known =
      id === null ? ['exposed'] : this.tableOf(id, file, '/table').categories.map((category) => category.id);
    if ([...planned].sort().join() !== [...known].sort().join()) {
      throw new RulebookDefect(file, '/categories', 'does not plan for exactly the categories', known.join(', '));
    }
  }

  private requireGoverning(): void {
    const file = 'governing.yaml';
    [this.fallback, ...this.defaultGoverning].forEach((rule, i) => {
      const at = i === 0 ? '/fallback' : `/rules/${i - 1}`;
      this.tableOf(rule.table, file, `${at}/table`);
      try {
        this.profile(rule.profile);
      } catch (error) {
        if (!(error instanceof UnknownProfile)) throw error;
        throw new RulebookDefect(file, `${at}/profile`, 'is no profile', error.accepted, error);
      }
    });
    for (const { code } of this.agentList) {
      if (!this.defaultGoverning.some(({ agent, certainty }) => agent === code && certainty === 'any')) {
        throw new RulebookDefect(file, '/rules', `leaves “${code}” without a table for any certainty`);
      }
    }
    if (this.needsConfirmation(this.fallback.table).length > 0) {
      throw new RulebookDefect(file, '/fallback/table', 'needs local confirmation itself, so it could not stand in');
    }
  }

  private tableOf(ref: string, file: string, pointer: string): DecisionTable {
    try {
      return this.table(ref).table;
    } catch (error) {
      if (!(error instanceof UnknownTable)) throw error;
      throw new RulebookDefect(file, pointer, 'is no table', error.accepted, error);
    }
  }
}

/** Reads the rulebook; it refuses to start on a defect, naming the file and the place. */
export function loadRulebook(folder?: string): Rulebook {
  return new Rulebook(new Library(folder));
}

/**
 * The category to plan for: a profile plans by the categories of its own table, so another table's category says nothing
 * to it, and the strictest plan stands.
 *
 * @example planFollowUp({ profile, category: plannedCategory(profile, assessment), … })
 */
export function plannedCategory(
  profile: AgentProfile,
  { table, categoryId }: { readonly table: string; readonly categoryId: string },
): string | undefined {
  return profile.table === table && categoryId in profile.categories ? categoryId : undefined;
}

interface Dated {
  readonly id: string;
  readonly version: string;
  readonly validFrom: string;
}

function oldestFirst(a: Dated, b: Dated): number {
  const order = a.validFrom.localeCompare(b.validFrom);
  return order === 0 ? a.id.localeCompare(b.id) || byNumber.compare(a.version, b.version) : order;
}

const byNumber = new Intl.Collator('en', { numeric: true });

function split(ref: string): [name: string, version: string | undefined] {
  const at = ref.indexOf('@');
  return at < 0 ? [ref, undefined] : [ref.slice(0, at), ref.slice(at + 1)];
}
