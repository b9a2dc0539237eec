import { Problem, Unreachable } from '../api.js';

/** What went wrong with a request, in the service's own words; nothing that was typed is lost by it. */
export function Refusal({ error }: { error: unknown }) {
  if (!error) return null;
  if (error instanceof Problem) {
    return (
      <div role="alert" className="refusal">
        <p>{error.detail || error.title}</p>
        {error.errors.length > 0 && (
          <ul>
            {error.errors.map(({ pointer, detail, accepted }) => (
              <li key={pointer + detail}>
                {detail}
                {accepted && <> Accepted: {accepted}.</>}
              </li>
            ))}
          </ul>
        )}
      </div>
    );
  }
  if (error instanceof Unreachable) {
    return (
      <div role="alert" className="refusal">
        <p>The service cannot be reached just now. What stands on this page is kept; try again, or telephone.</p>
      </div>
    );
  }
  throw error;
}

/** The words of a refusal that speak of one field, to stand next to it. */
export function faultAt(error: unknown, pointer: string): string | undefined {
  if (!(error instanceof Problem)) return undefined;
  const fault = error.errors.find((each) => each.pointer === pointer || each.pointer.startsWith(`${pointer}/`));
  return fault && (fault.accepted ? `${fault.detail} Accepted: ${fault.accepted}.` : fault.detail);
}

/** The part of a refusal that belongs to no field on the page. */
export function withoutFields(error: unknown, pointers: readonly string[]): unknown {
  if (!(error instanceof Problem)) return error;
  const rest = error.errors.filter((fault) => !pointers.some((pointer) => fault.pointer.startsWith(pointer)));
  if (error.errors.length > 0 && rest.length === 0) return null;
  return new Problem(error.status, error.code, error.title, error.detail, rest);
}
