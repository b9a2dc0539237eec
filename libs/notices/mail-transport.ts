/** One mail as it goes out. It names no clinical fact: whoever may know more follows the link and signs in. */
export interface Mail {
  /** Derived from the outbox row, so that a mail sent twice after a crash is recognised as the same one. */
  readonly messageId: string;
  readonly recipient: string;
  readonly subject: string;
  readonly text: string;
}

/** Accepts a mail for delivery or throws `MailRefused`. */
export abstract class MailTransport {
  abstract deliver(mail: Mail): Promise<void>;
  abstract close(): void;
}

/** Says why a mail was not taken, without the recipient's address, since the reason is stored and logged. */
export class MailRefused extends Error {
  readonly reason: string;

  constructor(reason: string, cause: unknown) {
    super(`The mail was not accepted: ${reason}.`, { cause });
    this.name = 'MailRefused';
    this.reason = reason;
  }
}
