import { LocalDateField, TextField } from '../../edge/fields.js';

/** Two identifiers, asked of the wearer. */
export class IdentityBody {
  @TextField({ min: 1, max: 40 })
  readonly staffNumber!: string;

  @LocalDateField()
  readonly dateOfBirth!: string;
}
