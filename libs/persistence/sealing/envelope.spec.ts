import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';
import { normaliseStaffNumber, readMasterKey, SealBroken, SealingKey, type Place } from './envelope.js';

const place: Place = ['telling_text', 'sealed', 'site', 'incident', '1'];

describe('an envelope', () => {
  it('opens to what was sealed, whatever it was', () => {
    const key = SealingKey.create();
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 2_000 }), (plain) => {
        expect(new Uint8Array(key.open(key.seal(plain, place), place))).toEqual(plain);
      }),
    );
  });

  it('does not open in another row, column or table', () => {
    const key = SealingKey.create();
    const sealed = key.seal(Buffer.from('splash to the left eye'), place);
    const elsewhere: Place[] = [
      ['telling_text', 'sealed', 'site', 'incident', '2'],
      ['telling_text', 'sealed', 'other site', 'incident', '1'],
      ['telling_text', 'other', 'site', 'incident', '1'],
      ['alert_text', 'sealed', 'site', 'incident', '1'],
    ];
    for (const other of elsewhere) expect(() => key.open(sealed, other)).toThrow(SealBroken);
  });

  it('does not open under another key', () => {
    const sealed = SealingKey.create().seal(Buffer.from('x'), place);
    expect(() => SealingKey.create().open(sealed, place)).toThrow(SealBroken);
  });

  it('does not open with any one bit changed, nor cut short', () => {
    const key = SealingKey.create();
    const sealed = key.seal(Buffer.from('a nurse wrote this'), place);
    for (let bit = 0; bit < sealed.length * 8; bit += 1) {
      const altered = Buffer.from(sealed);
      altered.writeUInt8(altered.readUInt8(bit >> 3) ^ (1 << (bit & 7)), bit >> 3);
      expect(() => key.open(altered, place)).toThrow(SealBroken);
    }
    for (let length = 0; length < sealed.length; length += 1) {
      expect(() => key.open(sealed.subarray(0, length), place)).toThrow(SealBroken);
    }
  });

  it('is another one each time, so that equal texts cannot be told', () => {
    const key = SealingKey.create();
    expect(key.seal(Buffer.from('x'), place).equals(key.seal(Buffer.from('x'), place))).toBe(false);
  });

  it('carries a wrapped key that opens what the key itself sealed', () => {
    const master = SealingKey.create();
    const key = SealingKey.create();
    const wrapped = master.wrap(key, ['person_key', 'wrapped', 'site', 'person']);
    const opened = master.unwrap(wrapped, ['person_key', 'wrapped', 'site', 'person']);
    expect(opened.open(key.seal(Buffer.from('x'), place), place).toString()).toBe('x');
    expect(() => master.unwrap(wrapped, ['person_key', 'wrapped', 'site', 'somebody else'])).toThrow(SealBroken);
  });

  it('says nothing of its content when it does not open', () => {
    const key = SealingKey.create();
    const sealed = key.seal(Buffer.from('canary'), place);
    const thrown = (() => {
      try {
        return key.open(sealed, ['alert_text', 'sealed', 'x']);
      } catch (error) {
        return error;
      }
    })();
    expect(String(thrown)).not.toContain('canary');
    expect(String(thrown)).not.toContain(sealed.toString('hex'));
  });
});

describe('the index of staff numbers', () => {
  it('finds one spelling by another, and differs between keys and purposes', () => {
    const key = SealingKey.create();
    const index = (text: string) => key.index(normaliseStaffNumber(text), 'staff-number').toString('hex');
    expect(index(' ab 123 ')).toBe(index('AB123'));
    expect(index('AB123')).not.toBe(index('AB124'));
    expect(key.index('AB123', 'other').toString('hex')).not.toBe(index('AB123'));
    expect(SealingKey.create().index('AB123', 'staff-number').toString('hex')).not.toBe(index('AB123'));
  });
});

describe('a master key', () => {
  it('is 64 hexadecimal digits and nothing else', () => {
    expect(() => readMasterKey(`${'0f'.repeat(32)}\n`)).not.toThrow();
    for (const text of ['', 'secret', '0f'.repeat(31), `${'0f'.repeat(31)}zz`]) {
      expect(() => readMasterKey(text)).toThrow('64 hexadecimal digits');
    }
  });
});
