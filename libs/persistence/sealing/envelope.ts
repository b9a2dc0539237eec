import { createCipheriv, createDecipheriv, createHash, createHmac, hkdfSync, randomBytes } from 'node:crypto';

/**
 * Where a sealed value belongs: table, column and row ids. It is authenticated with the value, so that a ciphertext
 * moved to another row, column or table does not open.
 */
export type Place = readonly [table: string, column: string, ...ids: string[]];

/** A value that does not open: moved, altered, or sealed under a key that is not here. It never says what was inside. */
export class SealBroken extends Error {
  constructor(place: Place) {
    super(`A sealed value of ${place[0]}.${place[1]} does not open.`);
    this.name = 'SealBroken';
  }
}

const VERSION = 1;
const KEY_ID = 8;
const IV = 12;
const TAG = 16;

/**
 * A 256-bit key with its id. A sealed value is: version (1 byte), key id (8), nonce (12), AES-256-GCM ciphertext, tag
 * (16). The nonce is random: a person's key seals far fewer than the 2^32 values for which that is safe.
 */
export class SealingKey {
  readonly #key: Buffer;
  readonly id: Buffer;

  constructor(key: Buffer) {
    if (key.length !== 32) throw new Error('A sealing key has 32 bytes.');
    this.#key = key;
    this.id = createHash('sha256').update('innerglove key id').update(key).digest().subarray(0, KEY_ID);
  }

  static create(): SealingKey {
    return new SealingKey(randomBytes(32));
  }

  seal(plain: Uint8Array, place: Place): Buffer {
    const iv = randomBytes(IV);
    const cipher = createCipheriv('aes-256-gcm', this.#key, iv);
    cipher.setAAD(authenticated(place));
    const sealed = Buffer.concat([cipher.update(plain), cipher.final()]);
    return Buffer.concat([Buffer.of(VERSION), this.id, iv, sealed, cipher.getAuthTag()]);
  }

  open(sealed: Uint8Array, place: Place): Buffer {
    const bytes = Buffer.from(sealed);
    const body = 1 + KEY_ID + IV;
    if (bytes.length < body + TAG || bytes[0] !== VERSION || !bytes.subarray(1, 1 + KEY_ID).equals(this.id)) {
      throw new SealBroken(place);
    }
    try {
      const decipher = createDecipheriv('aes-256-gcm', this.#key, bytes.subarray(1 + KEY_ID, body));
      decipher.setAAD(authenticated(place));
      decipher.setAuthTag(bytes.subarray(bytes.length - TAG));
      return Buffer.concat([decipher.update(bytes.subarray(body, bytes.length - TAG)), decipher.final()]);
    } catch {
      throw new SealBroken(place);
    }
  }

  sealJson(value: unknown, place: Place): Buffer {
    return this.seal(Buffer.from(JSON.stringify(value), 'utf8'), place);
  }

  openJson(sealed: Uint8Array, place: Place): unknown {
    return JSON.parse(this.open(sealed, place).toString('utf8'));
  }

  /** Puts another key under this one. */
  wrap(key: SealingKey, place: Place): Buffer {
    return this.seal(key.#key, place);
  }

  unwrap(wrapped: Uint8Array, place: Place): SealingKey {
    return new SealingKey(this.open(wrapped, place));
  }

  /** A keyed hash by which an exact value can be found without being stored. */
  index(value: string, purpose: string): Buffer {
    const derived = Buffer.from(hkdfSync('sha256', this.#key, Buffer.alloc(0), `innerglove index ${purpose}`, 32));
    return createHmac('sha256', derived).update(value, 'utf8').digest();
  }
}

function authenticated(place: Place): Buffer {
  // A separator that no id contains, so that two lists of ids cannot give the same bytes.
  return Buffer.from(place.join('|'), 'utf8');
}

/** Reads a master key as it stands in a file or in the environment: 64 hexadecimal digits. */
export function readMasterKey(text: string): SealingKey {
  if (!/^[0-9a-f]{64}$/i.test(text.trim())) throw new Error('The master key must be 64 hexadecimal digits.');
  return new SealingKey(Buffer.from(text.trim(), 'hex'));
}

/** One spelling of a staff number, so that spaces and case do not hide a person. */
export function normaliseStaffNumber(staffNumber: string): string {
  return staffNumber.normalize('NFKC').replaceAll(/\s+/g, '').toUpperCase();
}
