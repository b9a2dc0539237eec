import { DomainError } from '#domain';

function moved(error: unknown, prefix: string): unknown {
  if (!(error instanceof DomainError) || error.pointer === undefined) return error;
  return new DomainError(error.code, error.message, {
    pointer: `${prefix}${error.pointer}`,
    cause: error,
    ...(error.accepted === undefined ? {} : { accepted: error.accepted }),
  });
}

/** What was judged stands deeper in the request: a refusal's pointer has to lead there. */
export function pointingInto<T>(prefix: string, judge: () => T): T {
  try {
    return judge();
  } catch (error) {
    throw moved(error, prefix);
  }
}

/** As `pointingInto`, for what takes time. */
export async function pointingIntoLater<T>(prefix: string, judge: () => Promise<T>): Promise<T> {
  try {
    return await judge();
  } catch (error) {
    throw moved(error, prefix);
  }
}
