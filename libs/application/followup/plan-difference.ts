import type { PlanDifference } from '#domain';

/** A plan difference in numbers, with the dates that a person looks for. */
export interface PlanDifferenceCounts {
  readonly added: number;
  readonly removed: number;
  readonly moved: number;
  readonly unchanged: number;
  readonly restrictionsAdded: number;
  readonly restrictionsRemoved: number;
  readonly onlyTightens: boolean;
}

export function countDifference(difference: PlanDifference): PlanDifferenceCounts {
  return {
    added: difference.added.length,
    removed: difference.removed.length,
    moved: difference.moved.length,
    unchanged: difference.unchanged.length,
    restrictionsAdded: difference.restrictionsAdded.length,
    restrictionsRemoved: difference.restrictionsRemoved.length,
    onlyTightens: difference.onlyTightens,
  };
}
