import type { CompiledTable } from './compile.js';
import type { FlatDiagram, Ref } from './diagram.js';

/**
 * How many combinations of the inputs end in each terminal, by its number. Counted along the diagram, parents before
 * children, in integers without a bound: the product of the inputs is never walked.
 */
export function countByTerminal({ cells, nodes, root }: FlatDiagram, sizes: readonly number[]): Map<number, bigint> {
  const counts = new Map<number, bigint>();
  const arriving = new Map<Ref, bigint>();
  const factor = productsBetween(sizes);
  const levelOf = (ref: Ref): number => (ref < 0 ? sizes.length : (cells[ref] as number));
  const arrive = (ref: Ref, from: number, ways: bigint): void => {
    const all = ways * factor(from, levelOf(ref));
    if (ref < 0) counts.set(~ref, (counts.get(~ref) ?? 0n) + all);
    else arriving.set(ref, (arriving.get(ref) ?? 0n) + all);
  };
  arrive(root, 0, 1n);
  for (const at of nodes) {
    const level = cells[at] as number;
    const ways = arriving.get(at) ?? 0n;
    for (let value = 0; value < (sizes[level] as number); value++)
      arrive(cells[at + 1 + value] as Ref, level + 1, ways);
  }
  return counts;
}

/** The product of the sizes of the levels from one up to, and without, another. */
function productsBetween(sizes: readonly number[]): (from: number, to: number) => bigint {
  const prefix = [1n];
  sizes.forEach((size, level) => prefix.push((prefix[level] as bigint) * BigInt(size)));
  return (from, to) => (prefix[to] as bigint) / (prefix[from] as bigint);
}

export function sizesOf({ inputs }: CompiledTable): number[] {
  return inputs.map(({ coding }) => coding.labels.length);
}
