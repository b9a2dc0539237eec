import type { Cube } from './conditions.js';
import { terminal, type DiagramBuilder, type Ref } from './diagram.js';

/** In a set of combinations: not in it. In every other diagram of a table: a combination that cannot happen. */
export const OUTSIDE = terminal(0);
export const INSIDE = terminal(1);

/** The set of combinations in which any of the cubes holds: terminal 1 inside, 0 outside. */
export function union(builder: DiagramBuilder, cubes: readonly Cube[]): Ref {
  return cubes.reduce<Ref>(
    (set, cube) => choose(builder, builder.cube(cube, INSIDE, OUTSIDE), set, () => INSIDE),
    OUTSIDE,
  );
}

/** Replaces the terminals of a function inside a set and keeps them outside. */
export function choose(builder: DiagramBuilder, set: Ref, below: Ref, inside: (number: number) => Ref): Ref {
  return builder.apply(
    set,
    below,
    (member, number) => (member === 0 ? terminal(number) : inside(number)),
    (member, rest) => (member === OUTSIDE ? rest : undefined),
  );
}
