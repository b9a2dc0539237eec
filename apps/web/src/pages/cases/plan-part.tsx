import { useState } from 'react';
import { Form } from 'react-aria-components/Form';
import { ActButton } from '../../shell/act-button.js';
import { api, type Plan, type ReleaseBody, type Site } from '../../api.js';
import { useAct } from '../../shell/act.js';
import { Evidence } from '../../shell/evidence.js';
import { TextEntry } from '../../shell/fields.js';
import { Day, Moment } from '../../shell/moment.js';
import { useNow } from '../../shell/now.js';
import { faultAt, Refusal, withoutFields } from '../../shell/refusal.js';
import { CHECK_KIND_WORDS, WORK_WORDS, wordsFor } from '../../words.js';
import { SecondClinician, secondClinicianOf, type Clinician } from './second-clinician.js';

const SHOWN = 6;

/** The schedule after the exposure: its window, what work is permitted, what is due, and its signed end. */
export function PlanPart({ plan, site, mayRelease }: { plan: Plan; site: Site; mayRelease: boolean }) {
  const now = useNow();
  const due = plan.checks.filter(({ state }) => state === 'due');
  const done = plan.checks.filter(({ state }) => state === 'done').length;
  const overdue = due.filter(({ dueUntil }) => Date.parse(dueUntil) < now);
  const next = due.filter(({ dueUntil }) => Date.parse(dueUntil) >= now);
  return (
    <section id="plan" aria-labelledby="plan-heading">
      <h2 id="plan-heading">Follow-up</h2>
      <p>
        {plan.state === 'released' ? (
          <>
            Released <Moment at={plan.releasedAt} timeZone={site.timeZone} />.
          </>
        ) : (
          <>
            Until the end of <Day date={plan.lastDay} timeZone={plan.timeZone} />; day 0 is{' '}
            <Day date={plan.dayZero} timeZone={plan.timeZone} isPast />.{' '}
            {plan.basis === 'interim' ? 'It follows the interim assessment.' : 'It follows the decision.'}
          </>
        )}{' '}
        {done} of {plan.checks.length} checks done.
      </p>
      <ul className="plain">
        {plan.restrictions.map(({ code, profile, words, work, until, source, grade }) => (
          <li key={code + profile}>
            <strong>{WORK_WORDS[work]}</strong> until the end of <Day date={until} timeZone={plan.timeZone} />: {words}{' '}
            <Evidence sources={[source]} grade={grade} />
          </li>
        ))}
      </ul>
      {overdue.length > 0 && (
        <>
          <h3 className="act-now">Overdue ({overdue.length})</h3>
          <CheckList checks={overdue.slice(-SHOWN)} timeZone={plan.timeZone} />
        </>
      )}
      <h3>Next</h3>
      {next.length === 0 ? (
        <p>Nothing more is due.</p>
      ) : (
        <CheckList checks={next.slice(0, SHOWN)} timeZone={plan.timeZone} />
      )}
      {next.length > SHOWN && (
        <details>
          <summary>Everything that is due ({next.length})</summary>
          <CheckList checks={next.slice(SHOWN)} timeZone={plan.timeZone} />
        </details>
      )}
      {plan.cautions.length > 0 && (
        <ul>
          {plan.cautions.map((caution) => (
            <li key={caution}>{caution}</li>
          ))}
        </ul>
      )}
      {mayRelease && plan.state === 'running' && <Release plan={plan} />}
    </section>
  );
}

function CheckList({ checks, timeZone }: { checks: Plan['checks']; timeZone: string }) {
  return (
    <ul className="checks">
      {checks.map(({ key, kind, label, dueUntil }) => (
        <li key={key}>
          <span>{label || wordsFor(CHECK_KIND_WORDS, kind)}</span>
          <span>
            by <Moment at={dueUntil} timeZone={timeZone} />
          </span>
        </li>
      ))}
    </ul>
  );
}

function Release({ plan }: { plan: Plan }) {
  const [early, setEarly] = useState('');
  const [second, setSecond] = useState<Clinician>({ login: '', password: '' });
  const isEarly = plan.daysRemaining > 0;
  const release = useAct((body: ReleaseBody, key) => api.release(plan.planId, body, key), {
    changes: [['incident', plan.incidentId], ['incidents'], ['plans']],
  });
  return (
    <details className="release">
      <summary>{isEarly ? 'Release before the end' : 'Release'}</summary>
      <Form
        className="inset"
        onSubmit={(event) => {
          event.preventDefault();
          release.mutate({
            ...(early.trim() ? { early: early.trim() } : {}),
            ...(isEarly ? secondClinicianOf(second) : {}),
          });
        }}
      >
        {isEarly && (
          <>
            <TextEntry
              label="Why before the end"
              isLong
              value={early}
              onChange={setEarly}
              fault={faultAt(release.error, '/early')}
            />
            <SecondClinician
              why="Before the end of the window a second clinician signs too."
              value={second}
              onChange={setSecond}
              fault={faultAt(release.error, '/secondClinician')}
            />
          </>
        )}
        <Refusal error={withoutFields(release.error, ['/early', '/secondClinician'])} />
        <ActButton type="submit" isBusy={release.isPending}>
          Sign the release
        </ActButton>
      </Form>
    </details>
  );
}
