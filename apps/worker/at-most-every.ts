/**
 * Does something when asked, unless it was done less than so many milliseconds ago. An attempt that fails counts as none,
 * so the next request tries again.
 */
export function atMostEvery(
  milliseconds: number,
  act: () => Promise<void>,
  now: () => number = () => performance.now(),
): () => Promise<void> {
  let doneAt = Number.NEGATIVE_INFINITY;
  return async () => {
    const at = now();
    if (at - doneAt < milliseconds) return;
    await act();
    doneAt = at;
  };
}
