import { describe, expect, it } from '@jest/globals';
import { createLog } from './log.js';

function aLog(level: Parameters<typeof createLog>[0] = 'debug') {
  const lines: string[] = [];
  return { lines, log: createLog(level, (line) => lines.push(line)) };
}

describe('the log', () => {
  it('writes one JSON object a line with its time, level, event and ids', () => {
    const { lines, log } = aLog();
    log.info('report.accepted', { incidentId: 'i-1', milliseconds: 3 });

    expect(lines).toHaveLength(1);
    expect(lines[0]?.endsWith('\n')).toBe(true);
    expect(JSON.parse(lines[0] ?? '')).toEqual({
      time: expect.stringMatching(/^\d{4}-\d{2}-\d{2}T.*Z$/),
      level: 'info',
      event: 'report.accepted',
      incidentId: 'i-1',
      milliseconds: 3,
    });
  });

  it('keeps to one line whatever a field holds', () => {
    const { lines, log } = aLog();
    log.warn('x', { code: 'a\n{"level":"error"}' });

    expect(lines[0]?.trimEnd()).not.toContain('\n');
  });

  it('says where an error arose and not what it said, since a message can repeat an answer', () => {
    const { lines, log } = aLog();
    const cause = Object.assign(new Error('Key (login)=(anna) exists'), { code: '23505' });
    log.error('request.failed', { error: new TypeError('temperature 38.4', { cause }) });

    const { error } = JSON.parse(lines[0] ?? '') as { error: Record<string, unknown> };
    expect(error).toMatchObject({ name: 'TypeError', cause: { name: 'Error', code: '23505' } });
    expect(error['place']).toEqual(expect.arrayContaining([expect.stringContaining('log.spec')]));
    expect(lines.join()).not.toMatch(/38\.4|anna/);
  });

  it('leaves out what is below its level', () => {
    const { lines, log } = aLog('warn');
    log.debug('a');
    log.info('b');
    log.warn('c');
    log.error('d');

    expect(lines.map((line) => (JSON.parse(line) as { event: string }).event)).toEqual(['c', 'd']);
  });

  it('is silent when it is told to be', () => {
    const { lines, log } = aLog('silent');
    log.error('a');

    expect(lines).toEqual([]);
  });
});
