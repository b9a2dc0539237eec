import { hash, verify, type Options } from '@node-rs/argon2';
import { PasswordHasher } from '#application';
import { Gate } from './gate.js';

/** RFC 9106, section 4, second recommended option: argon2id, 64 MiB, 3 passes, 4 lanes. */
const COST: Options = { algorithm: 2, memoryCost: 64 * 1024, timeCost: 3, parallelism: 4 };

/** More would let a flood of sign-ins take the machine's memory: 4 take 256 MiB. */
const AT_ONCE = 4;

/** The hash of 32 random bytes that were thrown away, at the same cost: what a login that nobody has is compared with. */
const NOBODY = '$argon2id$v=19$m=65536,t=3,p=4$NDUj0LtbCytojS9Y81BzWw$YPybmqQ6O749LBwTQ1KC5FA1rdOJwnPgJJaA4uyp0Zw';

export class Argon2PasswordHasher extends PasswordHasher {
  private readonly gate = new Gate(AT_ONCE);

  override hash(password: string): Promise<string> {
    return this.gate.pass(() => hash(password, COST));
  }

  override matches(stored: string | null, password: string): Promise<boolean> {
    return this.gate.pass(async () => {
      const same = await verify(stored ?? NOBODY, password);
      return same && stored !== null;
    });
  }
}
