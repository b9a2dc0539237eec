import { ROLES, type Role } from '#application';
import { ChoiceField, IdField, IdListField, PartListField, WordsField } from '../../edge/fields.js';
import { WearerResponse } from './wearer.response.js';

export class FoundPersonResponse extends WearerResponse {
  @IdField()
  readonly unitId!: string;
}

/** An account without a clinical fact. */
export class AccountResponse {
  @IdField()
  readonly accountId!: string;

  @IdField({ nullable: true })
  readonly personId!: string | null;

  @ChoiceField(ROLES)
  readonly role!: Role;

  @WordsField()
  readonly login!: string;

  @IdListField()
  readonly unitIds!: readonly string[];
}

export class PeopleResponse {
  @PartListField(() => FoundPersonResponse, {
    description: 'For the nurse: the one with this staff number, or nobody.',
  })
  readonly people!: readonly FoundPersonResponse[];

  @PartListField(() => AccountResponse, { description: 'For the administrator.' })
  readonly accounts!: readonly AccountResponse[];
}

export class CreatedPersonResponse {
  @IdField()
  readonly personId!: string;

  @IdField({ nullable: true })
  readonly accountId!: string | null;
}
