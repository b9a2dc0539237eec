import { useQuery } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import { useState } from 'react';
import { Form } from 'react-aria-components/Form';
import { ActButton } from '../../shell/act-button.js';
import { api, type Site, type SourceStatusBody } from '../../api.js';
import { useAct } from '../../shell/act.js';
import { Choice, TextEntry } from '../../shell/fields.js';
import { Day } from '../../shell/moment.js';
import { faultAt, Refusal, withoutFields } from '../../shell/refusal.js';
import { SOURCE_STATUS_WORDS, wordsFor } from '../../words.js';

type Status = SourceStatusBody['status'];

/** The patient, by code: what they are thought or known to have, and what a change of it means for everyone linked. */
export function SourcePart({ sourceId, site }: { sourceId: string; site: Site }) {
  const sources = useQuery({ queryKey: ['sources'], queryFn: api.sources });
  const source = sources.data?.items.find((each) => each.sourceId === sourceId);
  const [status, setStatus] = useState<Status>();
  const [agent, setAgent] = useState<string>();
  const [onDate, setOnDate] = useState('');
  const [sampledOn, setSampledOn] = useState('');
  const change = useAct((body: SourceStatusBody) => api.changeSource(sourceId, body), {
    changes: [['sources'], ['incident'], ['incidents'], ['plans']],
  });
  const agentName = (code: string) => site.agents.find((each) => each.code === code)?.name ?? code;
  return (
    <section id="source" aria-labelledby="source-heading">
      <h2 id="source-heading">The patient, code {source?.pseudonym ?? 'not known'}</h2>
      <Refusal error={sources.error} />
      <ul className="plain">
        {source?.statuses.map((each) => (
          <li key={each.at}>
            {agentName(each.agent)}: {wordsFor(SOURCE_STATUS_WORDS, each.status)}, on{' '}
            <Day date={each.onDate} timeZone={site.timeZone} isPast />
            {each.sampledOn && (
              <>
                , sampled <Day date={each.sampledOn} timeZone={site.timeZone} isPast />
              </>
            )}
          </li>
        ))}
      </ul>
      <details>
        <summary>Record a new status</summary>
        <Form
          className="inset"
          onSubmit={(event) => {
            event.preventDefault();
            if (status && agent) change.mutate({ status, agent, onDate, ...(sampledOn ? { sampledOn } : {}) });
          }}
        >
          <Choice<Status>
            label="Status"
            value={status}
            onChange={setStatus}
            options={[
              ['suspected', 'Suspected'],
              ['confirmed', 'Confirmed'],
              ['ruled-out', 'Ruled out'],
            ]}
            fault={faultAt(change.error, '/status')}
          />
          <Choice
            label="Infection"
            value={agent}
            onChange={setAgent}
            options={site.agents.map(({ code, name }) => [code, name] as const)}
            fault={faultAt(change.error, '/agent')}
          />
          <div className="side-by-side">
            <TextEntry
              label="From this day"
              type="date"
              value={onDate}
              onChange={setOnDate}
              fault={faultAt(change.error, '/onDate')}
            />
            <TextEntry
              label="Sampled on (can be left empty)"
              type="date"
              value={sampledOn}
              onChange={setSampledOn}
              fault={faultAt(change.error, '/sampledOn')}
            />
          </div>
          <Refusal error={withoutFields(change.error, ['/status', '/agent', '/onDate', '/sampledOn'])} />
          <ActButton type="submit" isBusy={change.isPending} isDisabled={!status || !agent || !onDate}>
            Record it
          </ActButton>
        </Form>
        {change.data && (
          <div role="status">
            <p>
              {change.data.linked.length} {change.data.linked.length === 1 ? 'case is' : 'cases are'} linked to this
              patient. Nothing stops by itself.
            </p>
            <ul>
              {change.data.linked.map((linked) => (
                <li key={linked.incidentId}>
                  <Link to="/cases/$incidentId" params={{ incidentId: linked.incidentId }}>
                    Linked case
                  </Link>
                  {linked.difference && (
                    <>
                      : {linked.difference.added} checks added, {linked.difference.removed} removed,{' '}
                      {linked.difference.moved} moved
                    </>
                  )}
                  {linked.tightenedAtOnce && '; tightened at once'}
                  {linked.reopened && '; reopened'}
                  {linked.needsDetermination && '; waits for a decision'}
                </li>
              ))}
            </ul>
          </div>
        )}
      </details>
    </section>
  );
}
