import type { Level } from './table.js';

/** Where a level stands among the others; `null` is *not classified*, which goes to a human at once. */
export function severityOf(level: Level | null): number {
  return level ?? 2.5;
}

/**
 * Orders outcomes worst first, for `sort`. *Not classified* ranks between level 2 and level 3: nobody may read it as
 * mild, and nothing that an authority did call its highest is hidden behind it.
 */
export function worstFirst(a: { readonly level: Level | null }, b: { readonly level: Level | null }): number {
  return severityOf(b.level) - severityOf(a.level);
}
