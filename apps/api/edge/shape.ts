interface Member {
  readonly name: string;
  readonly part: (() => new () => object) | undefined;
}

const declared = new Map<object, Member[]>();

/** Called by the field decorators: what a class declares is what leaves the service under its name. */
export function declareShape(owner: object, name: string, part: (() => new () => object) | undefined): void {
  const members = declared.get(owner) ?? [];
  members.push({ name, part });
  declared.set(owner, members);
}

type Copy = (value: Readonly<Record<string, unknown>>) => Record<string, unknown>;
const copies = new Map<object, Copy>();

function membersOf(owner: object): Member[] {
  const parent = Object.getPrototypeOf(owner) as object | null;
  return [...(parent && parent !== Function.prototype ? membersOf(parent) : []), ...(declared.get(owner) ?? [])];
}

function copyOf(owner: object): Copy {
  const known = copies.get(owner);
  if (known) return known;
  const members = membersOf(owner);
  const copy: Copy = (value) => {
    const result: Record<string, unknown> = {};
    for (const { name, part } of members) {
      const member = value[name];
      if (member === undefined) continue;
      result[name] = part === undefined || member === null ? member : copyPart(part(), member);
    }
    return result;
  };
  copies.set(owner, copy);
  return copy;
}

function copyPart(owner: object, value: unknown): unknown {
  const copy = copyOf(owner);
  return Array.isArray(value)
    ? value.map((item) => copy(item as Readonly<Record<string, unknown>>))
    : copy(value as Readonly<Record<string, unknown>>);
}

/**
 * A response by allow-list: only the fields that its class declares are copied, at every depth, so a field that a record
 * gains later stays inside until somebody declares it.
 *
 * @example respond(LetterResponse, letter)
 */
export function respond<T extends object>(shape: new () => T, value: T): T {
  return copyOf(shape)(value as Readonly<Record<string, unknown>>) as T;
}

export function respondEach<T extends object>(shape: new () => T, values: readonly T[]): T[] {
  return values.map((value) => respond(shape, value));
}
