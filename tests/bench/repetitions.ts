/** Least, middle and greatest of several runs. */
export interface Spread {
  readonly min: number;
  readonly median: number;
  readonly max: number;
}

export function spreadOf(values: readonly number[]): Spread {
  const sorted = [...values].sort((a, b) => a - b);
  const at = (index: number): number => sorted[index] ?? Number.NaN;
  return { min: at(0), median: at(Math.floor(sorted.length / 2)), max: at(sorted.length - 1) };
}

export function shown({ min, median, max }: Spread, digits: number): string {
  return [min, median, max].map((value) => value.toFixed(digits)).join(' / ');
}

/** Runs the contestants in turn, so that a slow moment of the machine meets all of them, and gives each one's figures. */
export async function inTurn<Name extends string>(
  repetitions: number,
  contestants: Readonly<Record<Name, () => Promise<number> | number>>,
): Promise<Record<Name, number[]>> {
  const names = Object.keys(contestants) as Name[];
  const figures = Object.fromEntries(names.map((name) => [name, [] as number[]])) as Record<Name, number[]>;
  for (let repetition = 0; repetition < repetitions; repetition += 1)
    for (const name of names) figures[name].push(await contestants[name]());
  return figures;
}

/** Ratios of two contestants, repetition by repetition. */
export function ratios(of: readonly number[], to: readonly number[]): Spread {
  return spreadOf(of.map((value, index) => value / (to[index] ?? Number.NaN)));
}

export interface Line {
  readonly what: string;
  readonly figure: string;
  readonly spread: string;
  readonly aim: string;
}
