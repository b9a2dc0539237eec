/** Lets a fixed number of tasks run at once; the others wait in the order in which they came. */
export class Gate {
  private free: number;
  private readonly waiting: (() => void)[] = [];

  constructor(width: number) {
    this.free = width;
  }

  async pass<T>(task: () => Promise<T>): Promise<T> {
    if (this.free > 0) this.free -= 1;
    else await new Promise<void>((enter) => this.waiting.push(enter));
    try {
      return await task();
    } finally {
      const next = this.waiting.shift();
      if (next) next();
      else this.free += 1;
    }
  }
}
