import {
  CodeField,
  IdField,
  LocalDateField,
  PartListField,
  WordsField,
  TextListField,
  WholeNumberField,
} from '../../edge/fields.js';

export class LayerCountResponse {
  @CodeField()
  readonly layer!: string;

  @WholeNumberField()
  readonly partial!: number;

  @WholeNumberField()
  readonly total!: number;
}

export class StageCountResponse {
  @CodeField()
  readonly stage!: string;

  @WholeNumberField()
  readonly count!: number;
}

export class StepCountResponse {
  @CodeField()
  readonly step!: string;

  @WholeNumberField()
  readonly count!: number;
}

export class UnitCountResponse {
  @IdField()
  readonly unitId!: string;

  @WholeNumberField()
  readonly events!: number;

  @WholeNumberField()
  readonly uses!: number;
}

export class MonthCountResponse {
  @WordsField({ description: 'YYYY-MM' })
  readonly month!: string;

  @WholeNumberField()
  readonly events!: number;

  @WholeNumberField()
  readonly uses!: number;
}

export class CountsResponse {
  @LocalDateField()
  readonly from!: string;

  @LocalDateField()
  readonly until!: string;

  @WholeNumberField()
  readonly events!: number;

  @WholeNumberField()
  readonly incidents!: number;

  @WholeNumberField()
  readonly nearMisses!: number;

  @WholeNumberField({ description: 'How often an ensemble was worn.' })
  readonly uses!: number;

  @PartListField(() => LayerCountResponse)
  readonly byLayer!: readonly LayerCountResponse[];

  @PartListField(() => StageCountResponse)
  readonly byStage!: readonly StageCountResponse[];

  @PartListField(() => StepCountResponse)
  readonly byStep!: readonly StepCountResponse[];

  @PartListField(() => UnitCountResponse)
  readonly byUnit!: readonly UnitCountResponse[];

  @PartListField(() => MonthCountResponse)
  readonly byMonth!: readonly MonthCountResponse[];

  @TextListField()
  readonly cautions!: readonly string[];
}
