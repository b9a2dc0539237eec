import '../../style/learning.css';
import { useQuery } from '@tanstack/react-query';
import { useNavigate, useSearch } from '@tanstack/react-router';
import { api, type Counts, type Site } from '../../api.js';
import { useSite } from '../../session.js';
import { TextEntry } from '../../shell/fields.js';
import { PageHeading } from '../../shell/page-heading.js';
import { faultAt, Refusal, withoutFields } from '../../shell/refusal.js';
import { dateInWords, wallClock } from '../../time-words.js';
import { inWords } from '../../words.js';

/** The four months up to today, unless the address says otherwise. */
function standardSpan(timeZone: string): { from: string; until: string } {
  const until = wallClock(Date.now(), timeZone).date;
  const start = new Date(`${until}T00:00:00Z`);
  start.setUTCMonth(start.getUTCMonth() - 4);
  return { from: start.toISOString().slice(0, 10), until };
}

/** What can be learnt from all reports together: counts over uses, each with what it rests on. */
export function LearningPage() {
  const site = useSite();
  const chosen = useSearch({ from: '/inside/learning' });
  const navigate = useNavigate();
  const standard = standardSpan(site.data?.timeZone ?? 'UTC');
  const from = chosen.from ?? standard.from;
  const until = chosen.until ?? standard.until;
  const counts = useQuery({
    queryKey: ['counts', from, until],
    queryFn: () => api.counts(from, until),
    enabled: site.data !== undefined,
  });
  const choose = (search: { from: string; until: string }) => void navigate({ to: '/learning', search, replace: true });
  return (
    <>
      <PageHeading title="Learning" />
      <div className="side-by-side span">
        <TextEntry
          label="From"
          type="date"
          value={from}
          onChange={(next) => choose({ from: next, until })}
          fault={faultAt(counts.error, '/from')}
        />
        <TextEntry
          label="Until"
          type="date"
          value={until}
          onChange={(next) => choose({ from, until: next })}
          fault={faultAt(counts.error, '/until')}
        />
      </div>
      <Refusal error={withoutFields(counts.error, ['/from', '/until']) ?? site.error} />
      {counts.isPending && <p role="status">Counting</p>}
      {counts.data && site.data && <Counted counts={counts.data} site={site.data} />}
    </>
  );
}

function Counted({ counts, site }: { counts: Counts; site: Site }) {
  const layerName = (id: string) =>
    site.ensembles.flatMap(({ layers }) => layers).find((layer) => layer.id === id)?.name ?? id;
  const stepWords = (id: string) =>
    site.ensembles.flatMap(({ removal }) => removal).find((step) => step.id === id)?.words ?? id;
  const unitName = (id: string) => site.units.find(({ unitId }) => unitId === id)?.name ?? 'unit not known';
  const n = counts.incidents;
  return (
    <>
      <p className="case-lead">
        {counts.events} events with {n} people, {counts.nearMisses} near misses besides, over {usesInWords(counts.uses)}
        , {dateInWords(counts.from)} to {dateInWords(counts.until)}.
      </p>
      <ul>
        {counts.cautions.map((caution) => (
          <li key={caution}>{caution}</li>
        ))}
      </ul>
      <div className="learning">
        <CountTable
          title="Which layer"
          rests={`n = ${counts.byLayer.reduce((sum, { partial, total }) => sum + partial + total, 0)} breaches; one report can have several`}
          columns={['Layer', 'In part', 'Fully']}
          rows={counts.byLayer.map(({ layer, partial, total }) => ({
            key: layer,
            name: layerName(layer),
            numbers: [partial, total],
            length: partial + total,
          }))}
        />
        <CountTable
          title="At which stage"
          rests={`n = ${n} people`}
          columns={['Stage', 'Reports']}
          rows={counts.byStage.map(({ stage, count }) => ({
            key: stage,
            name: inWords(site.form.stages, stage),
            numbers: [count],
            length: count,
          }))}
        />
        <CountTable
          title="At which step of taking off"
          rests={`n = ${counts.byStep.reduce((sum, { count }) => sum + count, 0)} with the step known`}
          columns={['Step', 'Reports']}
          rows={counts.byStep.map(({ step, count }) => ({
            key: step,
            name: stepWords(step),
            numbers: [count],
            length: count,
          }))}
        />
        <CountTable
          title="In which unit"
          rests={`n = ${counts.events} events over ${usesInWords(counts.uses)}`}
          columns={['Unit', 'Events', 'Uses', 'Events per 1,000 uses']}
          rows={counts.byUnit.map(({ unitId, events, uses }) => ({
            key: unitId,
            name: unitName(unitId),
            numbers: [events, usesOf(uses), rateOf(events, uses)],
            length: uses === 0 ? 0 : events / uses,
          }))}
        />
        <CountTable
          title="In which month"
          rests={`n = ${counts.events} events over ${usesInWords(counts.uses)}`}
          columns={['Month', 'Events', 'Uses', 'Events per 1,000 uses']}
          rows={counts.byMonth.map(({ month, events, uses }) => ({
            key: month,
            name: monthInWords(month),
            numbers: [events, usesOf(uses), rateOf(events, uses)],
            length: uses === 0 ? 0 : events / uses,
          }))}
        />
      </div>
    </>
  );
}

function usesInWords(uses: number): string {
  return uses === 0 ? 'a number of uses that is not known' : `${uses.toLocaleString('en-GB')} uses`;
}

/** None entered is not none worn. */
function usesOf(uses: number): number | string {
  return uses === 0 ? 'not known' : uses;
}

function rateOf(events: number, uses: number): string {
  return uses === 0 ? 'not known' : ((events / uses) * 1000).toFixed(1);
}

function monthInWords(month: string): string {
  const at = Date.parse(`${month}-15T00:00:00Z`);
  return Number.isNaN(at)
    ? month
    : new Intl.DateTimeFormat('en-GB', { month: 'long', year: 'numeric', timeZone: 'UTC' }).format(at);
}

interface CountRow {
  readonly key: string;
  readonly name: string;
  readonly numbers: readonly (number | string)[];
  /** What the bar shows. */
  readonly length: number;
}

/** A table whose bars repeat its counts, or its rates where there are uses to divide by; the numbers are what counts. */
function CountTable({
  title,
  rests,
  columns,
  rows,
}: {
  title: string;
  rests: string;
  columns: readonly string[];
  rows: readonly CountRow[];
}) {
  const longest = Math.max(...rows.map(({ length }) => length)) || 1;
  return (
    <div className="table-scroll">
      <table>
        <caption>
          {title} <span className="soft">({rests})</span>
        </caption>
        {rows.length === 0 ? (
          <tbody>
            <tr>
              <td>Nothing was counted.</td>
            </tr>
          </tbody>
        ) : (
          <>
            <thead>
              <tr>
                {columns.map((column, index) => (
                  <th key={column} scope="col" className={index === 0 ? undefined : 'number'}>
                    {column}
                  </th>
                ))}
                <th scope="col">
                  <span className="visually-hidden">
                    {columns.length > 3 ? 'The rate as a bar' : 'The count as a bar'}
                  </span>
                </th>
              </tr>
            </thead>
            <tbody>
              {rows.map(({ key, name, numbers, length }) => (
                <tr key={key}>
                  <th scope="row">{name}</th>
                  {numbers.map((number, index) => (
                    <td key={columns[index + 1]} className="number">
                      {number}
                    </td>
                  ))}
                  <td className="bar">
                    <svg viewBox="0 0 100 12" preserveAspectRatio="none" aria-hidden="true">
                      <rect width={(length / longest) * 100} height="12" />
                    </svg>
                  </td>
                </tr>
              ))}
            </tbody>
          </>
        )}
      </table>
    </div>
  );
}
