import { TextField } from '../../edge/fields.js';

export class SignInBody {
  @TextField({ min: 1, max: 120 })
  readonly login!: string;

  @TextField({ min: 1, max: 256 })
  readonly password!: string;
}

/** A second clinician signs beside the first, with their own login and password. */
export class SecondClinicianBody {
  @TextField({ min: 1, max: 120 })
  readonly login!: string;

  @TextField({ min: 1, max: 256 })
  readonly password!: string;
}
