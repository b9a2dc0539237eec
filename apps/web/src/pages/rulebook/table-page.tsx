import '../../style/cases.css';
import { useQuery } from '@tanstack/react-query';
import { getRouteApi, Link } from '@tanstack/react-router';
import { useState } from 'react';
import { Form } from 'react-aria-components/Form';
import { ActButton } from '../../shell/act-button.js';
import { api, type TableSheet } from '../../api.js';
import { useSession, useSite } from '../../session.js';
import { useAct } from '../../shell/act.js';
import { Evidence } from '../../shell/evidence.js';
import { Several } from '../../shell/fields.js';
import { PageHeading } from '../../shell/page-heading.js';
import { Records } from '../../shell/records.js';
import { faultAt, Refusal, withoutFields } from '../../shell/refusal.js';
import { levelInWords } from '../../words.js';
import { Standing } from './rulebook-page.js';

const route = getRouteApi('/inside/rulebook/$ref');

/** One table, row by row, each with the source it was taken from and how that was read. */
export function TablePage() {
  const { ref } = route.useParams();
  const { role } = useSession();
  const site = useSite();
  const query = useQuery({ queryKey: ['table', ref], queryFn: () => api.table(ref) });
  if (!query.data || !site.data) {
    return (
      <>
        <PageHeading title="Table" />
        {query.isPending && <p role="status">Reading the table</p>}
        <Refusal error={query.error ?? site.error} />
      </>
    );
  }
  const sheet = query.data;
  const { table } = sheet;
  const categoryWords = (id: string) =>
    table.categories.find((each) => each.id === id)?.words ?? id.replaceAll('-', ' ');
  return (
    <>
      <p>
        <Link to="/rulebook">All tables</Link>
      </p>
      <PageHeading title={sheet.title} />
      <p>
        {sheet.authority}; {sheet.id}, version {sheet.version}, valid from {sheet.validFrom}
        {sheet.validUntil && ` until ${sheet.validUntil}`}
        {sheet.supersededBy && `, superseded by ${sheet.supersededBy}`}. Here:{' '}
        <Standing table={sheet} timeZone={site.data.timeZone} />.
      </p>
      {role === 'nurse' && !sheet.live && sheet.needsConfirmation.length > 0 && (
        <Confirm sheet={sheet} tableRef={ref} />
      )}
      <h2>Categories</h2>
      <ul>
        {table.categories.map(({ id, words, level, derived }) => (
          <li key={id}>
            <strong>{words}</strong>, {levelInWords(level)}
            {derived && ' (the wording is ours, not the authority’s)'}
          </li>
        ))}
        <li>Whatever no rule covers is “not classified by this authority” and goes to a human.</li>
      </ul>
      <Records
        caption={`Rules (n = ${table.rules.length}), ${POLICY_WORDS[table.hitPolicy]}`}
        columns={[{ name: 'Rule' }, { name: 'Says' }, { name: 'Category' }, { name: 'Rests on' }]}
        rows={table.rules.map(({ id, row, words, then, sources, grade }) => ({
          key: id,
          cells: [
            <>
              {id}
              {row && <div className="soft">{row}</div>}
            </>,
            words,
            categoryWords(then.category),
            <Evidence key="evidence" sources={sources} grade={grade} />,
          ],
        }))}
      />
      {table.adjustments.length > 0 && (
        <>
          <h2>What raises a category</h2>
          <ul>
            {table.adjustments.map(({ id, words, raise, sources, grade }) => (
              <li key={id}>
                {words} ({raise === 1 ? 'one level' : `${raise} levels`}) <Evidence sources={sources} grade={grade} />
              </li>
            ))}
          </ul>
        </>
      )}
      {table.cautions.length > 0 && (
        <>
          <h2>Mind</h2>
          <ul>
            {table.cautions.map((caution) => (
              <li key={caution}>{caution}</li>
            ))}
          </ul>
        </>
      )}
      <p className="soft">
        Fingerprint of the rules: <code>{sheet.hash}</code>
      </p>
    </>
  );
}

const POLICY_WORDS: Readonly<Record<TableSheet['table']['hitPolicy'], string>> = {
  unique: 'of which exactly one fires',
  first: 'of which the first that holds fires',
  priority: 'of which the one with the worst category fires',
};

function Confirm({ sheet, tableRef }: { sheet: TableSheet; tableRef: string }) {
  const [rules, setRules] = useState<string[]>([]);
  const confirm = useAct((looked: string[]) => api.confirmTable(tableRef, looked), {
    changes: [['tables'], ['table', tableRef]],
  });
  const remembered = sheet.table.rules.filter(({ id }) => sheet.needsConfirmation.includes(id));
  const listed = new Set(remembered.map(({ id }) => id));
  const others = sheet.needsConfirmation.filter((id) => !listed.has(id));
  return (
    <Form
      className="inset"
      onSubmit={(event) => {
        event.preventDefault();
        confirm.mutate(rules);
      }}
    >
      <h2>Confirm what was remembered</h2>
      <p>
        These rules were written down from memory. Look each up in the authority’s own text. The table goes live here
        once all of them are confirmed, under your name.
      </p>
      <Several
        label="Looked up and right"
        value={rules}
        onChange={setRules}
        options={[
          ...remembered.map(({ id, words }) => [id, `${id}: ${words}`] as const),
          ...others.map((id) => [id, id] as const),
        ]}
        fault={faultAt(confirm.error, '/rules')}
      />
      <Refusal error={withoutFields(confirm.error, ['/rules'])} />
      <ActButton type="submit" isBusy={confirm.isPending} isDisabled={rules.length < sheet.needsConfirmation.length}>
        Confirm for this site
      </ActButton>
    </Form>
  );
}
