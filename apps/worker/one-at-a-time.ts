/**
 * Runs a task that looks at everything there is: while it runs, one more wish is remembered and any number of further ones
 * are covered by that one.
 */
export class OneAtATime {
  private running: Promise<void> | null = null;
  private wished = false;

  constructor(private readonly task: () => Promise<void>) {}

  /** Resolves once a run that began after this call has ended. */
  async run(): Promise<void> {
    if (this.running === null) {
      this.running = this.repeat();
      return this.running;
    }
    this.wished = true;
    return this.running;
  }

  /** Resolves when nothing runs. */
  async settled(): Promise<void> {
    await this.running?.catch(() => undefined);
  }

  private async repeat(): Promise<void> {
    try {
      do {
        this.wished = false;
        await this.task();
      } while (this.wished);
    } finally {
      this.running = null;
    }
  }
}
