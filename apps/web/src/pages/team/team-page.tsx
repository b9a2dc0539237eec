import { useQuery } from '@tanstack/react-query';
import { api } from '../../api.js';
import { useSite } from '../../session.js';
import { Day, daysLeftInWords } from '../../shell/moment.js';
import { PageHeading } from '../../shell/page-heading.js';
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
        <div className="table-scroll">
          <table>
            <caption>People whose work is limited (n = {lines.length}); everybody else may do all work</caption>
            <thead>
              <tr>
                <th scope="col">Name</th>
                <th scope="col">Unit</th>
                <th scope="col">Permitted work</th>
                <th scope="col">Days remaining</th>
                <th scope="col">Last day, or next review</th>
              </tr>
            </thead>
            <tbody>
              {lines.map(({ rosterRef, name, unitId, words, daysRemaining, until, nextReview }) => (
                <tr key={rosterRef}>
                  <th scope="row">{name}</th>
                  <td>{site.data.units.find((unit) => unit.unitId === unitId)?.name ?? 'not known'}</td>
                  <td>{words}</td>
                  <td>{daysRemaining === null ? 'not decided yet' : daysLeftInWords(daysRemaining)}</td>
                  <td>
                    {until ? (
                      <>
                        until the end of <Day date={until} timeZone={site.data.timeZone} />
                      </>
                    ) : (
                      <>
                        looked at again on <Day date={nextReview} timeZone={site.data.timeZone} />
                      </>
                    )}
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
    </>
  );
}
