import { FlagField, WholeNumberField } from '../../edge/fields.js';

/** What a changed fact or decision does to a plan. What is done is never removed. */
export class PlanDifferenceResponse {
  @WholeNumberField()
  readonly added!: number;

  @WholeNumberField()
  readonly removed!: number;

  @WholeNumberField()
  readonly moved!: number;

  @WholeNumberField()
  readonly unchanged!: number;

  @WholeNumberField()
  readonly restrictionsAdded!: number;

  @WholeNumberField()
  readonly restrictionsRemoved!: number;

  @FlagField()
  readonly onlyTightens!: boolean;
}
