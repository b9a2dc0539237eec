import { LocalDateField } from '../../edge/fields.js';

export class CountsQuery {
  @LocalDateField()
  readonly from!: string;

  @LocalDateField()
  readonly until!: string;
}
