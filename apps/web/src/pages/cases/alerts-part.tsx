import { useState } from 'react';
import { Form } from 'react-aria-components/Form';
import { ActButton } from '../../shell/act-button.js';
import { api, type Alert, type AlertOutcome, type Site, type Wearer } from '../../api.js';
import { useAct } from '../../shell/act.js';
import { Choice, TextEntry } from '../../shell/fields.js';
import { Telephone } from '../../shell/lifeline.js';
import { Moment } from '../../shell/moment.js';
import { faultAt, Refusal, withoutFields } from '../../shell/refusal.js';
import { ALERT_KIND_WORDS, inWords, wordsFor } from '../../words.js';

/** What needs a human now. Acknowledging pauses it; only a recorded outcome closes it. */
export function AlertsPart({
  alerts,
  incidentId,
  wearer,
  site,
}: {
  alerts: readonly Alert[];
  incidentId: string;
  wearer: Wearer;
  site: Site;
}) {
  const open = alerts.filter(({ closedAt }) => closedAt === null);
  const closed = alerts.filter(({ closedAt }) => closedAt !== null);
  return (
    <section id="alerts" aria-labelledby="alerts-heading">
      {open.length > 0 && <h2 id="alerts-heading">Needs somebody now</h2>}
      {open.length === 0 && closed.length > 0 && <h2 id="alerts-heading">Alerts, all answered</h2>}
      {open.map((alert) => (
        <OpenAlert key={alert.alertId} alert={alert} incidentId={incidentId} wearer={wearer} site={site} />
      ))}
      {closed.length > 0 && (
        <ul className="soft">
          {closed.map((alert) => (
            <li key={alert.alertId}>
              {wordsFor(ALERT_KIND_WORDS, alert.kind)}: {inWords(site.form.alertOutcomes, alert.outcome)},{' '}
              <Moment at={alert.closedAt} timeZone={site.timeZone} />
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}

function OpenAlert({
  alert,
  incidentId,
  wearer,
  site,
}: {
  alert: Alert;
  incidentId: string;
  wearer: Wearer;
  site: Site;
}) {
  const [outcome, setOutcome] = useState<AlertOutcome>();
  const [decided, setDecided] = useState('');
  const changes = [['incident', incidentId], ['incidents'], ['alerts']];
  const acknowledge = useAct(() => api.acknowledge(alert.alertId), { changes });
  const close = useAct((body: { outcome: AlertOutcome; decided: string }) => api.closeAlert(alert.alertId, body), {
    changes,
  });
  return (
    <article className="alert" aria-label={wordsFor(ALERT_KIND_WORDS, alert.kind)}>
      <div>
        <h3>
          <span className="act-now">{wordsFor(ALERT_KIND_WORDS, alert.kind)}</span>, raised{' '}
          <Moment at={alert.raisedAt} timeZone={site.timeZone} />
        </h3>
        <ul>
          {alert.reasons.map((reason) => (
            <li key={reason}>{reason}</li>
          ))}
        </ul>
        <p>
          {wearer.telephone ? (
            <>
              Call <Telephone number={wearer.telephone} />
            </>
          ) : (
            'No telephone number is known for this person.'
          )}
        </p>
        {alert.acknowledgedAt === null ? (
          <ActButton isBusy={acknowledge.isPending} onPress={() => acknowledge.mutate(undefined)}>
            I am on it
          </ActButton>
        ) : (
          <p className="waits">
            Taken <Moment at={alert.acknowledgedAt} timeZone={site.timeZone} />; climbs again{' '}
            <Moment at={alert.pausedUntil} timeZone={site.timeZone} /> unless an outcome is recorded.
          </p>
        )}
        <Refusal error={acknowledge.error} />
      </div>
      <Form
        className="inset"
        onSubmit={(event) => {
          event.preventDefault();
          if (outcome) close.mutate({ outcome, decided });
        }}
      >
        <Choice<AlertOutcome>
          label="Outcome"
          value={outcome}
          onChange={setOutcome}
          options={site.form.alertOutcomes.map(({ code, words }) => [code as AlertOutcome, words])}
          fault={faultAt(close.error, '/outcome')}
        />
        <TextEntry
          label="What was decided"
          value={decided}
          onChange={setDecided}
          fault={faultAt(close.error, '/decided')}
          isLong
        />
        <Refusal error={withoutFields(close.error, ['/outcome', '/decided'])} />
        <ActButton type="submit" isBusy={close.isPending} isDisabled={!outcome || !decided.trim()}>
          Record the outcome and close
        </ActButton>
      </Form>
    </article>
  );
}
