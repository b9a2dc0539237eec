/** Free text as it is kept: an empty one is none. */
export function textOf(text: string | null | undefined): string | null {
  const trimmed = text?.trim() ?? '';
  return trimmed === '' ? null : trimmed;
}
