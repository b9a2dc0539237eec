import type { DueIndex } from '#application';
import { MailRefused, type MailTransport } from './mail-transport.js';

export interface SentNotices {
  readonly sent: number;
  readonly failed: number;
  /** Delivered here, but the lease had run out and another sender holds it now: that one may deliver it again. */
  readonly late: number;
}

const BATCH = 20;

/** A path at the beginning of a word stands for a page of this service, whose address the outbox does not know. */
function withAddresses(text: string, publicUrl: string): string {
  return text.replaceAll(/(?<=^|\s)\/(?=[a-z])/gm, `${publicUrl}/`);
}

/**
 * Empties the outbox. At least once: between a server's acceptance and our mark lies a moment in which a crash makes a
 * second delivery, which carries the same Message-ID. A failed mail goes back to wait; when it is due again is the outbox's
 * to say.
 */
export class SendNotices {
  constructor(
    private readonly due: DueIndex,
    private readonly transport: MailTransport,
    private readonly publicUrl: string,
  ) {}

  async execute(): Promise<SentNotices> {
    const count = { sent: 0, failed: 0, late: 0 };
    for (;;) {
      const messages = await this.due.leaseMessages(BATCH);
      for (const message of messages) {
        try {
          await this.transport.deliver({ ...message, text: withAddresses(message.text, this.publicUrl) });
        } catch (error) {
          if (!(error instanceof MailRefused)) throw error;
          await this.due.markFailed(message, error.reason);
          count.failed += 1;
          continue;
        }
        if (await this.due.markSent(message)) count.sent += 1;
        else count.late += 1;
      }
      if (messages.length < BATCH) return count;
    }
  }
}
