import type { AddressInfo } from 'node:net';
import { SMTPServer } from 'smtp-server';

/** A real mail server that keeps the identity of what it is given. */
export interface MailSink {
  readonly url: string;
  /** The Message-IDs, in the order of arrival; one that comes twice stands here twice. */
  readonly messageIds: readonly string[];
  stop(): Promise<void>;
}

export async function startMailSink(): Promise<MailSink> {
  const messageIds: string[] = [];
  const server = new SMTPServer({
    authOptional: true,
    disabledCommands: ['STARTTLS'],
    onData: (stream, _session, done) => {
      let text = '';
      stream.on('data', (chunk: Buffer) => (text += chunk.toString()));
      stream.on('end', () => {
        messageIds.push(/^Message-ID: <([^>]+)>/m.exec(text)?.[1] ?? '');
        done();
      });
    },
  });
  // A worker that is killed leaves its connection in the middle of a sentence.
  server.on('error', () => undefined);
  await new Promise<void>((listening) => server.listen(0, '127.0.0.1', listening));
  return {
    url: `smtp://127.0.0.1:${(server.server.address() as AddressInfo).port}`,
    messageIds,
    stop: () => new Promise((stopped) => server.close(() => stopped())),
  };
}
