import { CodeField, TextField } from '../../edge/fields.js';

export class UnitBody {
  @TextField({ min: 1, max: 80 })
  readonly name!: string;

  @CodeField({ optional: true, description: 'The rulebook’s own ensemble when absent.' })
  readonly ensembleId?: string;
}
