import type { DataSource, EntityTarget, ObjectLiteral } from 'typeorm';

/** An entity as a row: column names and JSON values, bytes in hexadecimal, for a statement that is fed JSON. */
export type RowOf = <E extends ObjectLiteral>(target: EntityTarget<E>, entity: Partial<E>) => Record<string, unknown>;

/** Takes the column names from the entities' own mapping, so that there is one list of them. */
export function rowMaker(source: DataSource): RowOf {
  const names = new Map<unknown, [property: string, column: string][]>();
  return (target, entity) => {
    let columns = names.get(target);
    if (columns === undefined) {
      columns = source.getMetadata(target).columns.map((column) => [column.propertyName, column.databaseName]);
      names.set(target, columns);
    }
    const values = entity as Record<string, unknown>;
    const row: Record<string, unknown> = {};
    for (const [property, column] of columns) {
      const value = values[property];
      // What is not named becomes null: half of a check's columns need not travel.
      if (value === undefined || value === null) continue;
      row[column] = Buffer.isBuffer(value) ? `\\x${value.toString('hex')}` : value;
    }
    return row;
  };
}
