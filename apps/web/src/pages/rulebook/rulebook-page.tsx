import '../../style/cases.css';
import { useQuery } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import { api, type TableCard } from '../../api.js';
import { useSite } from '../../session.js';
import { Moment } from '../../shell/moment.js';
import { PageHeading } from '../../shell/page-heading.js';
import { Records } from '../../shell/records.js';
import { Refusal } from '../../shell/refusal.js';
import { GRADE_WORDS, wordsFor } from '../../words.js';

/** Every table by its authority, whether it may govern here, and the weakest evidence in it. */
export function RulebookPage() {
  const site = useSite();
  const tables = useQuery({ queryKey: ['tables'], queryFn: api.tables });
  const agentName = (code: string) => site.data?.agents.find((agent) => agent.code === code)?.name ?? code;
  return (
    <>
      <PageHeading title="Rulebook" />
      <p>
        Each table is transcribed from what its authority published. Authorities are not merged: for each infection one
        of them governs at this site.
      </p>
      <Refusal error={tables.error} />
      {tables.isPending && <p role="status">Reading the tables</p>}
      {tables.data && (
        <Records
          caption={`Tables (n = ${tables.data.items.length})`}
          columns={[
            { name: 'Table' },
            { name: 'Authority' },
            { name: 'Rules', isNumber: true },
            { name: 'Weakest evidence' },
            { name: 'Here' },
            { name: 'Governs' },
          ]}
          rows={tables.data.items.map((table) => ({
            key: `${table.id}@${table.version}`,
            cells: [
              <>
                <Link to="/rulebook/$ref" params={{ ref: `${table.id}@${table.version}` }}>
                  {table.title}
                </Link>
                <div className="soft">
                  {table.id}, version {table.version}
                  {table.supersededBy && `, superseded by ${table.supersededBy}`}
                </div>
              </>,
              table.authority,
              table.rules,
              wordsFor(GRADE_WORDS, table.weakestGrade),
              <Standing key="standing" table={table} timeZone={site.data?.timeZone ?? 'UTC'} />,
              table.governs.length === 0
                ? 'nothing'
                : table.governs.map(({ agent, certainty }) => `${agentName(agent)} (${certainty})`).join(', '),
            ],
          }))}
        />
      )}
    </>
  );
}

/** Whether a table may govern here, and if not, what is missing. */
export function Standing({ table, timeZone }: { table: TableCard; timeZone: string }) {
  if (table.confirmed) {
    return (
      <>
        live; confirmed by {table.confirmed.by}, <Moment at={table.confirmed.at} timeZone={timeZone} />
      </>
    );
  }
  if (table.live) return 'live';
  return (
    <span className="waits">
      needs local confirmation: {table.needsConfirmation.length}{' '}
      {table.needsConfirmation.length === 1 ? 'rule is' : 'rules are'} from memory
    </span>
  );
}
