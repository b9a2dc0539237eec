/** Numbers that look like chance and are the same for the same seed on every machine. */
export class Chance {
  private state: number;

  constructor(seed: string) {
    // FNV-1a, 32 bits: spreads seeds that differ in one letter.
    let hash = 0x811c9dc5;
    for (const character of seed) hash = Math.imul(hash ^ (character.codePointAt(0) ?? 0), 0x01000193);
    this.state = hash >>> 0;
  }

  /** From 0 up to, not including, 1 (mulberry32). */
  next(): number {
    this.state = (this.state + 0x6d2b79f5) >>> 0;
    let mixed = this.state;
    mixed = Math.imul(mixed ^ (mixed >>> 15), mixed | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4_294_967_296;
  }

  happens(probability: number): boolean {
    return this.next() < probability;
  }

  /** A whole number, both ends included. */
  between(least: number, most: number): number {
    return least + Math.floor(this.next() * (most - least + 1));
  }

  oneOf<T>(choices: readonly T[]): T {
    const chosen = choices[Math.floor(this.next() * choices.length)];
    if (chosen === undefined) throw new TypeError('Nothing to choose from.');
    return chosen;
  }

  /** By weights that need not add up to anything. */
  weighted<T extends string>(weights: Readonly<Partial<Record<T, number>>>): T {
    const entries = Object.entries(weights) as [T, number][];
    let left = this.next() * entries.reduce((sum, [, weight]) => sum + weight, 0);
    for (const [choice, weight] of entries) {
      left -= weight;
      if (left < 0) return choice;
    }
    return this.oneOf(entries)[0];
  }

  /** A count with this mean (Poisson, by multiplication: for small means). */
  count(mean: number): number {
    const limit = Math.exp(-mean);
    let product = this.next();
    let count = 0;
    while (product > limit) {
      product *= this.next();
      count += 1;
    }
    return count;
  }

  /** About so much, by a sum of six: enough like a bell for a thermometer. */
  about(middle: number, spread: number): number {
    let sum = 0;
    for (let index = 0; index < 6; index += 1) sum += this.next();
    return middle + (sum - 3) * spread;
  }
}
