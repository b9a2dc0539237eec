import { ROLES, type Role } from '#application';
import { ChoiceField, IdField, WordsField } from '../../edge/fields.js';

export class SessionResponse {
  @IdField()
  readonly accountId!: string;

  @ChoiceField(ROLES)
  readonly role!: Role;

  @WordsField()
  readonly displayName!: string;

  @IdField()
  readonly siteId!: string;

  @WordsField()
  readonly siteName!: string;

  @IdField({ nullable: true, description: 'The person whose own reports and plans these are.' })
  readonly personId!: string | null;
}
