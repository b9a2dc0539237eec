import { describe, expect, it } from '@jest/globals';
import { unreadablePlace } from './readable-text.js';

describe('what can be read', () => {
  it('is any Unicode text, in any script', () => {
    expect(unreadablePlace({ name: 'Žofie Ó Briain 张伟 🧤', list: ['', null, 1, true] })).toBeNull();
  });

  it.each([
    [{ account: 'half \ud83e' }, '/account'],
    [{ breaches: [{}, { layer: 'a\u0000b' }] }, '/breaches/1/layer'],
    [{ 'a/b': { constructor: 1 } }, '/a~1b'],
    [JSON.parse('{"facts": {"__proto__": 1}}') as object, '/facts'],
    [{ facts: { 'a\u0000': 1 } }, '/facts'],
  ])('is not %j', (value, pointer) => {
    expect(unreadablePlace(value)).toMatchObject({ pointer, accepted: expect.any(String) });
  });

  it('ends at sixteen levels, however deep the rest goes', () => {
    const deep = JSON.parse('['.repeat(50_000) + ']'.repeat(50_000)) as unknown;

    expect(unreadablePlace(deep)?.pointer).toBe('/0'.repeat(16));
  });
});
