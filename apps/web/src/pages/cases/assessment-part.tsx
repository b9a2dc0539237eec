import { Button } from 'react-aria-components/Button';
import { api, type AssessmentRecord, type IncidentFile, type Site } from '../../api.js';
import { useAct } from '../../shell/act.js';
import { Evidence } from '../../shell/evidence.js';
import { Moment } from '../../shell/moment.js';
import { Refusal } from '../../shell/refusal.js';
import { levelInWords, TERNARY_WORDS } from '../../words.js';

/** What the table says, on what it rests, what would change it, and what to ask next. The machine's word, not a decision. */
export function AssessmentPart({
  records,
  incident,
  site,
  mayAnswer,
}: {
  records: readonly AssessmentRecord[];
  incident: IncidentFile['incident'];
  site: Site;
  mayAnswer: boolean;
}) {
  const record = records.at(-1);
  const answer = useAct(
    ({ fact, value }: { fact: string; value: string }) =>
      api.amend(incident.incidentId, incident.revision, { changes: { facts: { [fact]: value } } }),
    { changes: [['incident', incident.incidentId], ['incidents']] },
  );
  if (!record) return null;
  const { result } = record;
  const words = (fact: string) => site.questions[fact]?.question ?? fact;
  const valueWords = (fact: string, value: string) =>
    site.questions[fact]?.values?.[value] ?? TERNARY_WORDS[value as keyof typeof TERNARY_WORDS] ?? value;
  const { nearestChange } = result.explanation;
  return (
    <section id="assessment" aria-labelledby="assessment-heading">
      <h2 id="assessment-heading">What the table says</h2>
      <p className="category">
        <strong>{result.category}</strong>
        <span>
          {levelInWords(result.level)}; {result.settled ? 'settled' : 'not settled'}
        </span>
      </p>
      {!result.settled && result.reachable.length > 1 && (
        <p>It is the worst that the facts still allow. Also still possible: {result.reachable.slice(1).join('; ')}.</p>
      )}
      <p>{result.explanation.words}</p>
      {result.explanation.adjustments.map(({ id, words: adjusted }) => (
        <p key={id}>{adjusted}</p>
      ))}
      <p className="soft">
        {record.governing} Table {result.table}, version {result.version}
        {result.explanation.row && `, ${result.explanation.row}`}.{' '}
        <Evidence sources={result.sources} grade={result.grade} />
      </p>
      {result.openQuestions.length > 0 && (
        <>
          <h3>Best asked next</h3>
          <ol className="open-questions">
            {result.openQuestions.map(({ fact, values, settlesAlone, leaves }) => (
              <li key={fact}>
                <p>
                  {words(fact)} {settlesAlone && <span className="soft">(settles it alone)</span>}
                </p>
                <ul className="answers">
                  {values.map((value) => (
                    <li key={value}>
                      {mayAnswer ? (
                        <Button
                          className="act act-second"
                          aria-label={`${words(fact)} ${valueWords(fact, value)}`}
                          isDisabled={answer.isPending}
                          onPress={() => answer.mutate({ fact, value })}
                        >
                          {valueWords(fact, value)}
                        </Button>
                      ) : (
                        <strong>{valueWords(fact, value)}</strong>
                      )}
                      <span className="soft">leaves {(leaves[value] ?? ['not known']).join('; ')}</span>
                    </li>
                  ))}
                </ul>
              </li>
            ))}
          </ol>
          <Refusal error={answer.error} />
        </>
      )}
      {nearestChange && (
        <p>
          Nearest change: with{' '}
          {nearestChange.changes
            .map(
              ({ fact, from, to }) =>
                `“${words(fact)}” answered “${valueWords(fact, to)}”, not “${valueWords(fact, from)}”`,
            )
            .join(' and ')}
          , it would be {nearestChange.category}.
        </p>
      )}
      {result.actions.length > 0 && (
        <>
          <h3>What it asks for</h3>
          <ul>
            {result.actions.map(({ code, words: action, sources, grade }) => (
              <li key={code}>
                {action} <Evidence sources={sources} grade={grade} />
              </li>
            ))}
          </ul>
        </>
      )}
      {result.cautions.length > 0 && (
        <>
          <h3>Mind</h3>
          <ul>
            {result.cautions.map((caution) => (
              <li key={caution}>{caution}</li>
            ))}
          </ul>
        </>
      )}
      {records.length > 1 && (
        <details>
          <summary>Earlier assessments ({records.length - 1})</summary>
          <ul>
            {records.slice(0, -1).map(({ assessmentId, revision, result: earlier, madeAt }) => (
              <li key={assessmentId}>
                Revision {revision}: {earlier.category}, {levelInWords(earlier.level)},{' '}
                <Moment at={madeAt} timeZone={site.timeZone} />
              </li>
            ))}
          </ul>
        </details>
      )}
    </section>
  );
}
