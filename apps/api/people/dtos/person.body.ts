import { ROLES, type Role } from '#application';
import {
  ChoiceField,
  IdField,
  IdListField,
  LocalDateField,
  PartField,
  TextField,
  TimeZoneField,
} from '../../edge/fields.js';

const optional = { optional: true } as const;

export class AccountBody {
  @TextField({ min: 3, max: 120 })
  readonly login!: string;

  @TextField({ min: 1, max: 256 })
  readonly password!: string;

  @ChoiceField(ROLES)
  readonly role!: Role;

  @IdListField({ ...optional, description: 'The units whose duty list a manager reads.' })
  readonly unitIds?: readonly string[];
}

export class PersonBody {
  @TextField({ min: 1, max: 120 })
  readonly name!: string;

  @TextField({ min: 1, max: 40 })
  readonly staffNumber!: string;

  @LocalDateField(optional)
  readonly dateOfBirth?: string;

  @TextField({ ...optional, max: 40 })
  readonly telephone?: string;

  @TextField({ ...optional, max: 200 })
  readonly email?: string;

  @IdField()
  readonly unitId!: string;

  @TextField({ min: 1, max: 80 })
  readonly job!: string;

  @TimeZoneField({ ...optional, description: 'The site’s zone when absent.' })
  readonly timeZone?: string;

  @PartField(() => AccountBody, { ...optional, description: 'A person may have no account.' })
  readonly account?: AccountBody;
}

export class PeopleQuery {
  @TextField({ optional: true, min: 1, max: 40, description: 'Exact: people are found by it, never browsed.' })
  readonly staffNumber?: string;
}
