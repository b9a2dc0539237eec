import { describe, expect, it } from '@jest/globals';
import { DueIndex, type DueCheck, type OutboxMessage } from '#application';
import { MailRefused, MailTransport, type Mail } from './mail-transport.js';
import { SendNotices } from './send-notices.js';

type Leased = OutboxMessage & { readonly lease: string };

function aMessage(messageId: string): OutboxMessage {
  return {
    messageId,
    siteId: 'site-1',
    alertId: 'alert-1',
    recipient: 'oh@hospital.example',
    subject: 'Something waits for you',
    text: 'Sign in to read it.',
    attempts: 0,
  };
}

class OutboxInMemory extends DueIndex {
  readonly failed: string[] = [];
  readonly sent: string[] = [];
  leaseLost = false;

  constructor(private waiting: OutboxMessage[]) {
    super();
  }

  override async due(): Promise<DueCheck[]> {
    return [];
  }

  override async leaseMessages(limit: number): Promise<Leased[]> {
    const leased = this.waiting.slice(0, limit);
    this.waiting = this.waiting.slice(limit);
    return leased.map((message) => ({ ...message, lease: 'lease-1' }));
  }

  override async markSent({ messageId }: Leased): Promise<boolean> {
    if (this.leaseLost) return false;
    this.sent.push(messageId);
    return true;
  }

  override async markFailed({ messageId }: Leased, error: string): Promise<void> {
    this.failed.push(`${messageId}: ${error}`);
  }
}

class TransportInMemory extends MailTransport {
  readonly delivered: Mail[] = [];

  constructor(private readonly refusing: ReadonlySet<string> = new Set()) {
    super();
  }

  override async deliver(mail: Mail): Promise<void> {
    if (this.refusing.has(mail.messageId)) throw new MailRefused('SMTP 451', null);
    this.delivered.push(mail);
  }

  override close(): void {
    this.delivered.length = 0;
  }
}

describe('sending notices', () => {
  it('delivers every message of an outbox that is longer than one batch', async () => {
    const messages = Array.from({ length: 45 }, (_, index) => aMessage(`message-${index}`));
    const outbox = new OutboxInMemory(messages);
    const transport = new TransportInMemory();

    expect(await new SendNotices(outbox, transport, 'https://glove.example').execute()).toEqual({
      sent: 45,
      failed: 0,
      late: 0,
    });
    expect(transport.delivered.map(({ messageId }) => messageId)).toEqual(messages.map(({ messageId }) => messageId));
  });

  it('puts a refused message back with the reason and goes on with the next', async () => {
    const outbox = new OutboxInMemory([aMessage('first'), aMessage('second')]);

    const count = await new SendNotices(
      outbox,
      new TransportInMemory(new Set(['first'])),
      'https://glove.example',
    ).execute();

    expect(count).toEqual({ sent: 1, failed: 1, late: 0 });
    expect(outbox.failed).toEqual(['first: SMTP 451']);
    expect(outbox.sent).toEqual(['second']);
  });

  it('counts a delivery as late when its lease went to another sender meanwhile', async () => {
    const outbox = new OutboxInMemory([aMessage('first')]);
    outbox.leaseLost = true;

    expect(await new SendNotices(outbox, new TransportInMemory(), 'https://glove.example').execute()).toEqual({
      sent: 0,
      failed: 0,
      late: 1,
    });
  });

  it('turns a path into the address of its page', async () => {
    const outbox = new OutboxInMemory([{ ...aMessage('first'), text: 'Sign in:\n/alerts/1 and/or call 24/7.' }]);
    const transport = new TransportInMemory();

    await new SendNotices(outbox, transport, 'https://glove.example').execute();

    expect(transport.delivered[0]?.text).toBe('Sign in:\nhttps://glove.example/alerts/1 and/or call 24/7.');
  });

  it('stops at a fault that is not the mail server’s', async () => {
    const outbox = new OutboxInMemory([aMessage('first')]);
    const transport = new TransportInMemory();
    transport.deliver = async () => {
      throw new TypeError('a defect');
    };

    await expect(new SendNotices(outbox, transport, 'https://glove.example').execute()).rejects.toThrow(TypeError);
    expect(outbox.failed).toEqual([]);
  });
});
