import type { IncidentFile, Site } from '../../api.js';
import { Moment } from '../../shell/moment.js';
import { ALERT_KIND_WORDS, inWords, wordsFor } from '../../words.js';

/** Everything that happened to this case, the newest first; nothing in it is ever overwritten. */
export function TimelinePart({ file, site }: { file: IncidentFile; site: Site }) {
  const { incident, tellings, assessments, determinations, alerts, letters } = file;
  const entries: { readonly at: string; readonly words: string }[] = [
    ...tellings.map(({ at, kind, revision }) => ({
      at,
      words: `${kind === 'report' ? 'Reported' : 'Amended'} (revision ${revision})`,
    })),
    ...assessments.map(({ madeAt, result }) => ({ at: madeAt, words: `Assessed: ${result.category}` })),
    ...determinations.map(({ at, category, departs }) => ({
      at,
      words: `Decided: ${category}${departs ? ', departing from the assessment' : ''}`,
    })),
    ...alerts.flatMap(({ raisedAt, acknowledgedAt, closedAt, kind, outcome }) => [
      { at: raisedAt, words: `Alert raised: ${wordsFor(ALERT_KIND_WORDS, kind)}` },
      ...(acknowledgedAt ? [{ at: acknowledgedAt, words: `Alert taken: ${wordsFor(ALERT_KIND_WORDS, kind)}` }] : []),
      ...(closedAt ? [{ at: closedAt, words: `Alert closed: ${inWords(site.form.alertOutcomes, outcome)}` }] : []),
    ]),
    ...letters.flatMap(({ createdAt, signedAt, revision }) => [
      { at: createdAt, words: `Letter made (revision ${revision})` },
      ...(signedAt ? [{ at: signedAt, words: `Letter signed (revision ${revision})` }] : []),
    ]),
    ...(incident.identityConfirmedAt ? [{ at: incident.identityConfirmedAt, words: 'Identity confirmed' }] : []),
    ...(file.plan?.releasedAt ? [{ at: file.plan.releasedAt, words: 'Released' }] : []),
  ]
    .sort((a, b) => Date.parse(a.at) - Date.parse(b.at))
    .reverse();
  return (
    <section id="timeline" aria-labelledby="timeline-heading">
      <h2 id="timeline-heading">What happened, newest first</h2>
      <ol className="timeline">
        {entries.map(({ at, words }) => (
          <li key={at + words}>
            <span>{words}</span>
            <Moment at={at} timeZone={site.timeZone} />
          </li>
        ))}
      </ol>
    </section>
  );
}
