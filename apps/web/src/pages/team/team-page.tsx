import { useQuery } from '@tanstack/react-query';
import { api } from '../../api.js';
import { useSite } from '../../session.js';
import { Day, daysLeftInWords } from '../../shell/moment.js';
import { PageHeading } from '../../shell/page-heading.js';
import { Records } from '../../shell/records.js';
import { Refusal } from '../../shell/refusal.js';

/** Who of the own team may do what work, and until when. Why is never here. */
export function TeamPage() {
  const site = useSite();
  const duty = useQuery({ queryKey: ['duty-statuses'], queryFn: api.dutyStatuses, refetchInterval: 60_000 });
  const lines = duty.data?.lines ?? [];
  return (
    <>
      <PageHeading title="Team" />
      <p>
        What work each person may do, for planning the rota. The reason stays with occupational health; they are
        following up.
      </p>
      <Refusal error={duty.error ?? site.error} />
      {duty.isPending && <p role="status">Reading the list</p>}
      {duty.data && site.data && lines.length === 0 && <p>Everybody in your team may do all work.</p>}
      {site.data && lines.length > 0 && (
        <Records
          caption={`People whose work is limited (n = ${lines.length}); everybody else may do all work`}
          columns={[
            { name: 'Name' },
            { name: 'Unit' },
            { name: 'Permitted work' },
            { name: 'Days remaining' },
            { name: 'Last day, or next review' },
          ]}
          rows={lines.map(({ rosterRef, name, unitId, words, daysRemaining, until, nextReview }) => ({
            key: rosterRef,
            cells: [
              name,
              site.data.units.find((unit) => unit.unitId === unitId)?.name ?? 'not known',
              words,
              daysRemaining === null ? 'not decided yet' : daysLeftInWords(daysRemaining),
              until ? (
                <>
                  until the end of <Day date={until} timeZone={site.data.timeZone} />
                </>
              ) : (
                <>
                  looked at again on <Day date={nextReview} timeZone={site.data.timeZone} />
                </>
              ),
            ],
          }))}
        />
      )}
    </>
  );
}
