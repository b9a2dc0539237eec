import { useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import { Form } from 'react-aria-components/Form';
import { ActButton } from '../../shell/act-button.js';
import { api, type AssessmentRecord, type DeterminationBody, type IncidentFile, type Site } from '../../api.js';
import { useSession } from '../../session.js';
import { useAct } from '../../shell/act.js';
import { Choice, TextEntry } from '../../shell/fields.js';
import { Moment } from '../../shell/moment.js';
import { faultAt, Refusal, withoutFields } from '../../shell/refusal.js';
import { levelInWords } from '../../words.js';
import { SecondClinician, secondClinicianOf, type Clinician } from './second-clinician.js';

/** A human signs every decision: first who it is, then confirm the assessment or depart from it with a reason. */
export function DecisionPart({
  file,
  assessment,
  site,
  mayDecide,
}: {
  file: IncidentFile;
  assessment: AssessmentRecord;
  site: Site;
  mayDecide: boolean;
}) {
  const { incident, determinations } = file;
  const { accountId } = useSession();
  return (
    <>
      {mayDecide && (
        <section id="identity" aria-labelledby="identity-heading">
          <h2 id="identity-heading">Who it is</h2>
          {incident.identityConfirmedAt ? (
            <p>
              Confirmed by two identifiers, <Moment at={incident.identityConfirmedAt} timeZone={site.timeZone} />.
            </p>
          ) : (
            <ConfirmIdentity incidentId={incident.incidentId} />
          )}
        </section>
      )}
      <section id="decision" aria-labelledby="decision-heading">
        <h2 id="decision-heading">The decision</h2>
        {determinations.length === 0 && (
          <p>Nobody has decided yet. Until then the worst that is still possible holds.</p>
        )}
        <ul className="plain">
          {determinations.map((determination) => (
            <li key={determination.determinationId}>
              <strong>{determination.category}</strong>,{' '}
              {determination.departs ? 'departing from the assessment' : 'as assessed'}, signed by{' '}
              {determination.signedBy === accountId ? 'you' : (determination.signedByName ?? 'occupational health')}
              {determination.secondClinician &&
                ` with ${determination.secondClinicianName ?? 'a second clinician'}`},{' '}
              <Moment at={determination.at} timeZone={site.timeZone} />, on revision {determination.onRevision}.
              {determination.reason && <> Reason: {determination.reason}</>}
            </li>
          ))}
        </ul>
        {mayDecide && incident.state !== 'released' && (
          // One element whether it is decided or not: what is being typed must outlive an amendment that opens it again.
          <details open={incident.state === 'open'}>
            <summary>{incident.state === 'open' ? 'Decide' : 'Decide again'}</summary>
            <Decide incident={incident} assessment={assessment} />
          </details>
        )}
      </section>
    </>
  );
}

function ConfirmIdentity({ incidentId }: { incidentId: string }) {
  const [staffNumber, setStaffNumber] = useState('');
  const [dateOfBirth, setDateOfBirth] = useState('');
  const confirm = useAct(
    (body: { staffNumber: string; dateOfBirth: string }) => api.confirmIdentity(incidentId, body),
    { changes: [['incident', incidentId], ['incidents']] },
  );
  const fields = ['/staffNumber', '/dateOfBirth'];
  return (
    <Form
      className="inset"
      onSubmit={(event) => {
        event.preventDefault();
        confirm.mutate({ staffNumber: staffNumber.trim(), dateOfBirth });
      }}
    >
      <p>Ask the wearer for both and type what they say. Nothing is decided before.</p>
      <div className="side-by-side">
        <TextEntry
          label="Staff number"
          value={staffNumber}
          onChange={setStaffNumber}
          fault={faultAt(confirm.error, '/staffNumber')}
        />
        <TextEntry
          label="Date of birth"
          type="date"
          value={dateOfBirth}
          onChange={setDateOfBirth}
          fault={faultAt(confirm.error, '/dateOfBirth')}
        />
      </div>
      <Refusal error={withoutFields(confirm.error, fields)} />
      <ActButton type="submit" isBusy={confirm.isPending} isDisabled={!staffNumber.trim() || !dateOfBirth}>
        It is this person
      </ActButton>
    </Form>
  );
}

function Decide({ incident, assessment }: { incident: IncidentFile['incident']; assessment: AssessmentRecord }) {
  const { result } = assessment;
  const [decision, setDecision] = useState<'confirm' | 'depart'>();
  const [categoryId, setCategoryId] = useState<string>();
  const [reason, setReason] = useState('');
  const [second, setSecond] = useState<Clinician>({ login: '', password: '' });
  const table = useQuery({
    queryKey: ['table', `${result.table}@${result.version}`],
    queryFn: () => api.table(`${result.table}@${result.version}`),
    staleTime: Infinity,
  });
  const categories = table.data?.table.categories ?? [];
  const chosen = categories.find(({ id }) => id === categoryId);
  // What is not classified waits with the worst, between levels 2 and 3.
  const isBelow = decision === 'depart' && chosen !== undefined && chosen.level < (result.level ?? 2.5);
  const decide = useAct(
    ({ body, revision }: { body: DeterminationBody; revision: number }, key) => api.determine(body, revision, key),
    {
      changes: [['incident', incident.incidentId], ['incidents'], ['plans']],
      onDone: () => {
        setDecision(undefined);
        setCategoryId(undefined);
        setReason('');
        setSecond({ login: '', password: '' });
      },
    },
  );
  const fields = ['/categoryId', '/reason', '/decision', '/secondClinician'];
  const isReady = decision === 'confirm' || (decision === 'depart' && chosen && reason.trim() !== '');
  return (
    <Form
      className="inset"
      onSubmit={(event) => {
        event.preventDefault();
        if (!decision) return;
        decide.mutate({
          revision: incident.revision,
          body: {
            incidentId: incident.incidentId,
            decision,
            ...(decision === 'depart' && categoryId ? { categoryId } : {}),
            ...(reason.trim() ? { reason: reason.trim() } : {}),
            ...(isBelow ? secondClinicianOf(second) : {}),
          },
        });
      }}
    >
      {!incident.identityConfirmedAt && <p className="waits">First confirm who it is.</p>}
      <Choice
        label="Decide on this revision"
        help={`Revision ${incident.revision}: ${result.category}, ${levelInWords(result.level)}`}
        value={decision}
        onChange={setDecision}
        options={[
          ['confirm', 'Confirm the assessment'],
          ['depart', 'Depart from it'],
        ]}
        fault={faultAt(decide.error, '/decision')}
      />
      {decision === 'depart' && (
        <Choice
          label="Category"
          value={categoryId}
          onChange={setCategoryId}
          options={categories
            .filter(({ id }) => id !== result.categoryId)
            .map(({ id, words, level }) => [id, `${words} (${levelInWords(level)})`] as const)}
          fault={faultAt(decide.error, '/categoryId')}
        />
      )}
      {decision && (
        <TextEntry
          label={decision === 'depart' ? 'Reason' : 'Reason (can be left empty)'}
          isLong
          value={reason}
          onChange={setReason}
          fault={faultAt(decide.error, '/reason')}
        />
      )}
      {isBelow && (
        <SecondClinician
          why="This goes below what holds now, so a second clinician signs too."
          value={second}
          onChange={setSecond}
          fault={faultAt(decide.error, '/secondClinician')}
        />
      )}
      <Refusal error={withoutFields(decide.error, fields)} />
      <ActButton type="submit" isBusy={decide.isPending} isDisabled={!isReady}>
        Sign the decision
      </ActButton>
    </Form>
  );
}
