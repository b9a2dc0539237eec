import { CodeField, CodeListField } from '../../edge/fields.js';

export class TableRefParam {
  @CodeField({ description: '`id` for the newest version, or `id@version`.' })
  readonly ref!: string;
}

export class ConfirmationBody {
  @CodeListField({ description: 'The remembered rules that were looked up: all of them.' })
  readonly rules!: readonly string[];
}
