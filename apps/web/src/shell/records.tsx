import type { ReactNode } from 'react';

export interface Column {
  readonly name: string;
  readonly isNumber?: boolean;
}

/**
 * A table of records, the first cell of each naming it. Where there is no room for columns each record stands as a list of
 * its own with the column's name before each cell; the roles keep it a table for those who hear it.
 */
export function Records({
  caption,
  columns,
  rows,
}: {
  caption: ReactNode;
  columns: readonly Column[];
  rows: readonly { readonly key: string; readonly cells: readonly ReactNode[] }[];
}) {
  return (
    <table className="records" role="table">
      <caption>{caption}</caption>
      <thead role="rowgroup">
        <tr role="row">
          {columns.map(({ name, isNumber }) => (
            <th key={name} scope="col" role="columnheader" className={isNumber ? 'number' : undefined}>
              {name}
            </th>
          ))}
        </tr>
      </thead>
      <tbody role="rowgroup">
        {rows.map(({ key, cells }) => (
          <tr key={key} role="row">
            {columns.map(({ name, isNumber }, index) =>
              index === 0 ? (
                <th key={name} scope="row" role="rowheader">
                  {cells[index]}
                </th>
              ) : (
                <td key={name} role="cell" data-column={name} className={isNumber ? 'number' : undefined}>
                  {cells[index]}
                </td>
              ),
            )}
          </tr>
        ))}
      </tbody>
    </table>
  );
}
