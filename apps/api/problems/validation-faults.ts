import { getMetadataStorage, type ValidationError } from 'class-validator';
import { pointerStep } from '#domain';
import type { RequestFault } from './malformed-request.js';

function fieldsOf(target: object | undefined): string | undefined {
  if (!target) return undefined;
  const fields = getMetadataStorage()
    .getTargetValidationMetadatas(target.constructor, '', false, false)
    .map(({ propertyName }) => propertyName);
  return fields.length === 0 ? undefined : `one of the fields: ${[...new Set(fields)].sort().join(', ')}`;
}

function acceptedBy(error: ValidationError, rule: string): string | undefined {
  if (rule === 'whitelistValidation') return fieldsOf(error.target);
  const context = error.contexts?.[rule] as { accepted?: string } | undefined;
  return context?.accepted;
}

/** class-validator's tree as a flat list with JSON Pointers: one fault a place, since its rules say the same sentence. */
export function faultsOf(errors: readonly ValidationError[], above = ''): RequestFault[] {
  return errors.flatMap((error) => {
    const pointer = above + pointerStep(error.property);
    const [first] = Object.entries(error.constraints ?? {});
    const inside = faultsOf(error.children ?? [], pointer);
    if (!first) return inside;
    const [rule, words] = first;
    const detail = rule === 'whitelistValidation' ? 'There is no such field.' : words;
    return [{ pointer, detail, accepted: acceptedBy(error, rule) }, ...inside];
  });
}
