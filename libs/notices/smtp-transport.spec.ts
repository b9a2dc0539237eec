import { afterEach, describe, expect, it } from '@jest/globals';
import type { AddressInfo } from 'node:net';
import { SMTPServer } from 'smtp-server';
import { MailRefused } from './mail-transport.js';
import { SmtpTransport } from './smtp-transport.js';

const MAIL = {
  messageId: '0198c0de-0000-7000-8000-000000000001',
  recipient: 'oh@hospital.example',
  subject: 'Something waits for you',
  text: 'Sign in to read it.',
};

let closing: (() => Promise<void>) | undefined;

async function aMailServer(refuse?: { responseCode: number }): Promise<{ url: string; received: string[] }> {
  const received: string[] = [];
  const server = new SMTPServer({
    authOptional: true,
    disabledCommands: ['STARTTLS'],
    onRcptTo: (_address, _session, done) =>
      done(refuse ? Object.assign(new Error('no such mailbox oh@hospital.example'), refuse) : null),
    onData: (stream, _session, done) => {
      let text = '';
      stream.on('data', (chunk: Buffer) => (text += chunk.toString()));
      stream.on('end', () => {
        received.push(text);
        done();
      });
    },
  });
  await new Promise<void>((listening) => server.listen(0, '127.0.0.1', listening));
  closing = () => new Promise((closed) => server.close(() => closed()));
  const { port } = server.server.address() as AddressInfo;
  return { url: `smtp://127.0.0.1:${port}`, received };
}

describe('the SMTP transport', () => {
  afterEach(async () => {
    await closing?.();
    closing = undefined;
  });

  it('gives equal messages an equal Message-ID', async () => {
    const { url, received } = await aMailServer();
    const transport = new SmtpTransport({ url, from: 'Innerglove <innerglove@hospital.example>' });

    await transport.deliver(MAIL);
    await transport.deliver(MAIL);
    transport.close();

    expect(received).toHaveLength(2);
    for (const mail of received) {
      expect(mail).toMatch(/^Message-ID: <0198c0de-0000-7000-8000-000000000001@hospital\.example>\r$/m);
      expect(mail).toMatch(/^Subject: Something waits for you\r$/m);
      expect(mail).toMatch(/^Auto-Submitted: auto-generated\r$/m);
    }
  });

  it('names the server’s answer without repeating the address', async () => {
    const { url } = await aMailServer({ responseCode: 550 });
    const transport = new SmtpTransport({ url, from: 'innerglove@hospital.example' });

    const refused = await transport.deliver(MAIL).catch((error: unknown) => error);
    transport.close();

    expect(refused).toBeInstanceOf(MailRefused);
    expect(refused).toMatchObject({ reason: 'SMTP 550' });
    expect(String((refused as MailRefused).message)).not.toContain('hospital.example');
  });

  it('reports a server that is not there as refused', async () => {
    const { url } = await aMailServer();
    await closing?.();
    closing = undefined;
    const transport = new SmtpTransport({ url, from: 'innerglove@hospital.example' });

    await expect(transport.deliver(MAIL)).rejects.toMatchObject({ reason: 'ESOCKET' });
    transport.close();
  });
});
