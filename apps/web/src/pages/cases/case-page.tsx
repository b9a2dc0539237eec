import '../../style/cases.css';
import { useQuery } from '@tanstack/react-query';
import { getRouteApi } from '@tanstack/react-router';
import { useState } from 'react';
import { api, type IncidentFile, type Site } from '../../api.js';
import { useSession, useSite } from '../../session.js';
import { Telephone } from '../../shell/lifeline.js';
import { Between, Moment } from '../../shell/moment.js';
import { PageHeading } from '../../shell/page-heading.js';
import { Refusal } from '../../shell/refusal.js';
import { INCIDENT_STATE_WORDS, inWords, wordsFor } from '../../words.js';
import { AlertsPart } from './alerts-part.js';
import { AmendPart } from './amend-part.js';
import { AssessmentPart } from './assessment-part.js';
import { BarrierPart } from './barrier-part.js';
import { DecisionPart } from './decision-part.js';
import { FactsPart } from './facts-part.js';
import { LettersPart } from './letters-part.js';
import { PlanPart } from './plan-part.js';
import { nameOf } from './queue-page.js';
import { SourcePart } from './source-part.js';
import { TimelinePart } from './timeline-part.js';

const route = getRouteApi('/inside/cases/$incidentId');

/** One incident on one page: what happened, what was left of the barrier, what follows, and what waits for a human. */
export function CasePage() {
  const { incidentId } = route.useParams();
  const site = useSite();
  const file = useQuery({
    queryKey: ['incident', incidentId],
    queryFn: () => api.incident(incidentId),
    refetchInterval: 15_000,
  });
  if (file.data && site.data) return <Case key={incidentId} file={file.data} site={site.data} error={file.error} />;
  return (
    <>
      <PageHeading title="Case" />
      {file.isPending && <p role="status">Reading the case</p>}
      <Refusal error={file.error ?? site.error} />
    </>
  );
}

/** What has to be done here, in its order, and whether it is done. */
function steps({ incident, alerts, determinations, letters, plan }: IncidentFile) {
  const signed = letters.some(({ signedAt }) => signedAt !== null);
  const open = alerts.filter(({ closedAt }) => closedAt === null).length;
  return [
    {
      id: 'alerts',
      words: open === 0 ? 'No alert open' : open === 1 ? '1 alert open' : `${open} alerts open`,
      isDone: open === 0,
    },
    {
      id: 'identity',
      words: incident.identityConfirmedAt ? 'Identity confirmed' : 'Identity to be confirmed',
      isDone: incident.identityConfirmedAt !== null,
    },
    {
      id: 'decision',
      words:
        incident.state === 'open' ? (determinations.length > 0 ? 'To be decided again' : 'To be decided') : 'Decided',
      isDone: incident.state !== 'open',
    },
    { id: 'letters', words: signed ? 'Letter signed' : 'No letter signed', isDone: signed },
    {
      id: 'plan',
      words:
        plan === null
          ? 'No follow-up'
          : plan.state === 'released'
            ? 'Released'
            : plan.daysRemaining === 0
              ? 'Release due'
              : `${plan.daysRemaining} days of follow-up left`,
      isDone: plan === null || plan.state === 'released',
    },
  ];
}

function Case({ file, site, error }: { file: IncidentFile; site: Site; error: unknown }) {
  const { role } = useSession();
  const isNurse = role === 'nurse';
  const { incident, plan } = file;
  const [readFirst] = useState(incident.revision);
  const ensemble = site.ensembles.find(({ id }) => id === incident.ensembleId);
  const { wearer, content } = incident;
  const failed = content.breaches
    .map(({ layer }) => ensemble?.layers.find(({ id }) => id === layer)?.name ?? layer)
    .concat(content.lapses.map((code) => inWords(site.form.lapses, code)));
  const assessment = file.assessments.at(-1);
  return (
    <>
      <p className="case-state">{wordsFor(INCIDENT_STATE_WORDS, incident.state)}</p>
      <PageHeading title={role === 'wearer' ? 'Your report' : nameOf(wearer)} />
      <p className="case-lead">
        {failed.length > 0
          ? failed.join(', ')
          : content.kind === 'near-miss'
            ? 'Caught in time'
            : 'Something failed; which layer is not known'}
        , {inWords(site.form.stages, content.stage).toLowerCase()}, {incident.unitName},{' '}
        <Between from={content.occurred.from} until={content.occurred.until} timeZone={content.occurred.timeZone} />
      </p>
      <p>
        {wearer.job}
        {wearer.staffNumber && <>, staff number {wearer.staffNumber}</>}
        {wearer.telephone && (
          <>
            , <Telephone number={wearer.telephone} />
          </>
        )}
        . Reported <Moment at={incident.reportedAt} timeZone={site.timeZone} />.
      </p>
      <Refusal error={error} />
      {incident.revision !== readFirst && (
        <p role="status" className="waits">
          This case has changed since you opened it: it is at revision {incident.revision} now, you began at {readFirst}
          .
        </p>
      )}
      {isNurse && (
        <nav aria-label="What waits in this case">
          <ol className="case-steps">
            {steps(file).map(({ id, words, isDone }) => (
              <li key={id} data-done={isDone || undefined}>
                <a href={`#${id}`}>{words}</a>
              </li>
            ))}
          </ol>
        </nav>
      )}
      {isNurse && <AlertsPart alerts={file.alerts} incidentId={incident.incidentId} wearer={wearer} site={site} />}
      <div className="case">
        <div className="case-told">
          <BarrierPart barrier={file.barrier} ensemble={ensemble} site={site} content={content} />
          <FactsPart file={file} ensemble={ensemble} site={site} />
          {isNurse && ensemble && <AmendPart incident={incident} ensemble={ensemble} site={site} />}
          {isNurse && incident.sourceId && <SourcePart sourceId={incident.sourceId} site={site} />}
        </div>
        <div className="case-follows">
          {assessment && (
            <AssessmentPart records={file.assessments} incident={incident} site={site} mayAnswer={isNurse} />
          )}
          {assessment && role !== 'infection-control' && (
            <DecisionPart file={file} assessment={assessment} site={site} mayDecide={isNurse} />
          )}
          {plan && <PlanPart plan={plan} site={site} mayRelease={isNurse} />}
          {role !== 'infection-control' && <LettersPart file={file} site={site} maySign={isNurse} />}
        </div>
      </div>
      <TimelinePart file={file} site={site} />
    </>
  );
}
