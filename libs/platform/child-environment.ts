import { CONFIG_KEYS, type ConfigKey } from './config.js';

/**
 * The environment of a process that we start: what the machine needs, and of our own keys only those that are given, so
 * that no process holds a secret that it has no use for.
 */
export function childEnvironment(given: Readonly<Partial<Record<ConfigKey, string>>>): NodeJS.ProcessEnv {
  const ours: ReadonlySet<string> = new Set(CONFIG_KEYS);
  const inherited = Object.entries(process.env).filter(([key]) => !ours.has(key));
  return { ...Object.fromEntries(inherited), ...given };
}
