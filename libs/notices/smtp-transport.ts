import { createTransport, type Transporter } from 'nodemailer';
import { MailRefused, MailTransport, type Mail } from './mail-transport.js';

export interface SmtpSettings {
  /** `smtp://` or `smtps://`, with user and password where the server asks for them. */
  readonly url: string;
  readonly from: string;
}

/** A server that hangs must not hold a lease for longer than the lease runs. */
const PATIENCE_MS = 10_000;

function reasonOf(error: unknown): string {
  const { responseCode, code } = error as { responseCode?: unknown; code?: unknown };
  if (typeof responseCode === 'number') return `SMTP ${responseCode}`;
  return typeof code === 'string' ? code : 'no answer';
}

function domainOf(address: string): string {
  return /@([A-Za-z0-9.-]+)/.exec(address)?.[1] ?? 'localhost';
}

export class SmtpTransport extends MailTransport {
  private readonly transporter: Transporter;
  private readonly from: string;

  constructor({ url, from }: SmtpSettings) {
    super();
    this.from = from;
    this.transporter = createTransport({
      url,
      connectionTimeout: PATIENCE_MS,
      greetingTimeout: PATIENCE_MS,
      socketTimeout: PATIENCE_MS,
      disableFileAccess: true,
      disableUrlAccess: true,
    });
  }

  async deliver({ messageId, recipient, subject, text }: Mail): Promise<void> {
    try {
      await this.transporter.sendMail({
        messageId: `<${messageId}@${domainOf(this.from)}>`,
        from: this.from,
        to: recipient,
        subject,
        text,
        // RFC 3834: keeps absence notices from answering a machine.
        headers: { 'Auto-Submitted': 'auto-generated' },
      });
    } catch (error) {
      throw new MailRefused(reasonOf(error), error);
    }
  }

  close(): void {
    this.transporter.close();
  }
}
