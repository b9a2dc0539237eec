import { readFileSync } from 'node:fs';
import { parse } from 'yaml';

/** What this test needs of a service; the rest is the schema's to judge. */
export interface ComposeService {
  readonly image?: string;
  readonly command?: readonly string[];
  readonly environment?: Readonly<Record<string, string>>;
  readonly ports?: readonly string[];
  readonly volumes?: readonly string[];
  readonly networks?: readonly string[];
  readonly secrets?: readonly string[];
  readonly depends_on?: Readonly<Record<string, { readonly condition: string }>>;
  readonly healthcheck?: { readonly test: readonly string[] };
  readonly read_only?: boolean;
  readonly cap_drop?: readonly string[];
  readonly security_opt?: readonly string[];
  readonly restart?: string;
}

export interface ComposeFile {
  readonly services: Readonly<Record<string, ComposeService>>;
  readonly networks: Readonly<Record<string, unknown>>;
  readonly volumes: Readonly<Record<string, unknown>>;
  readonly secrets: Readonly<Record<string, { readonly file: string }>>;
}

const FILE = new URL('../../../docker-compose.yml', import.meta.url);
export const ROOT = new URL('../../../', import.meta.url);

/** The file as it stands, with its YAML merges done. */
export function readComposeFile(): Record<string, unknown> {
  return parse(readFileSync(FILE, 'utf8'), { merge: true }) as Record<string, unknown>;
}

const VARIABLE = /\$\{([A-Z_]+)(?::([-?])([^}]*))?\}/g;

/** The variables that the file asks for. */
export function variablesOf(file: unknown): Set<string> {
  return new Set([...JSON.stringify(file).matchAll(VARIABLE)].map(([, name = '']) => name));
}

/** The file with its variables filled in; of the rules, those that it uses: `${A}`, `${A:-else}` and `${A:?or refuse}`. */
export function fillIn(file: unknown, variables: Readonly<Record<string, string>>): ComposeFile {
  const filled = JSON.stringify(file).replaceAll(VARIABLE, (_, name: string, kind?: string, rest?: string) => {
    const value = variables[name] ?? '';
    if (value !== '') return value;
    if (kind === '-') return rest ?? '';
    throw new Error(`${name} is missing`);
  });
  return JSON.parse(filled) as ComposeFile;
}

/** The headers that the entrance sets, as it would fill them in for a caller. */
export function entranceHeaders(host: string): Record<string, string> {
  const configuration = readFileSync(new URL('.docker/web.conf', ROOT), 'utf8');
  const values: Readonly<Record<string, string>> = { $http_host: host, $remote_addr: '192.0.2.7' };
  const headers = [...configuration.matchAll(/^\s*proxy_set_header (\S+) (\S+);$/gm)].map(
    ([, name = '', value = '']) => [name.toLowerCase(), values[value] ?? value] as const,
  );
  return Object.fromEntries(headers.filter(([, value]) => value !== '""'));
}
