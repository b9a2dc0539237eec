import { useState } from 'react';
import { Form } from 'react-aria-components/Form';
import { ActButton } from '../../shell/act-button.js';
import { api, type Amendment, type Ensemble, type IncidentFile, type Site, type Ternary } from '../../api.js';
import { useAct } from '../../shell/act.js';
import { Choice, Several, TextEntry } from '../../shell/fields.js';
import { faultAt, Refusal, withoutFields } from '../../shell/refusal.js';
import { TERNARY_WORDS } from '../../words.js';

type Changes = Amendment['changes'];
type Signs = 'skinWet' | 'skinCut' | 'eyeSplash' | 'mouthNoseSplash' | 'sharpsInjury' | 'brokenSkinBefore';

const SIGNS: readonly (readonly [Signs, string])[] = [
  ['skinWet', 'Skin wet'],
  ['skinCut', 'Skin cut'],
  ['eyeSplash', 'Splash in the eye'],
  ['mouthNoseSplash', 'Splash in mouth or nose'],
  ['sharpsInjury', 'A sharp went in'],
  ['brokenSkinBefore', 'Skin broken before'],
];

/** What is told otherwise now. It is added to the report; nothing of the report is overwritten. */
export function AmendPart({
  incident,
  ensemble,
  site,
}: {
  incident: IncidentFile['incident'];
  ensemble: Ensemble;
  site: Site;
}) {
  const { content } = incident;
  const { form } = site;
  const [changes, setChanges] = useState<Changes>({});
  const [account, setAccount] = useState('');
  const amend = useAct(
    ({ body, revision }: { body: Amendment; revision: number }) => api.amend(incident.incidentId, revision, body),
    {
      changes: [['incident', incident.incidentId], ['incidents'], ['plans']],
      onDone: () => {
        setChanges({});
        setAccount('');
      },
    },
  );
  const seen = { ...content.seen, ...changes.seen };
  const fields = [
    '/changes/foundWhole',
    '/changes/fluid',
    '/changes/agent',
    '/changes/certainty',
    '/changes/account',
    '/account',
  ];
  const hasChanged = Object.keys(changes).length > 0 || account.trim() !== '';
  const ternary: readonly (readonly [Ternary, string])[] = [
    ['yes', TERNARY_WORDS.yes],
    ['no', TERNARY_WORDS.no],
    ['unknown', TERNARY_WORDS.unknown],
  ];
  return (
    <details className="amend">
      <summary>Amend what was told</summary>
      <Form
        className="inset"
        onSubmit={(event) => {
          event.preventDefault();
          amend.mutate({
            revision: incident.revision,
            body: { changes, ...(account.trim() ? { account: account.trim() } : {}) },
          });
        }}
      >
        <p>Change only what is told otherwise now. The report stays as it was made; this is added to it.</p>
        <Several
          label="Looked at and found whole"
          value={changes.foundWhole ?? content.foundWhole}
          onChange={(foundWhole) => setChanges({ ...changes, foundWhole })}
          options={ensemble.layers
            .filter(({ id }) => !content.breaches.some(({ layer }) => layer === id))
            .map(({ id, name }) => [id, name] as const)}
          fault={faultAt(amend.error, '/changes/foundWhole')}
        />
        {SIGNS.map(([sign, words]) => (
          <Choice<Ternary>
            key={sign}
            label={words}
            value={seen[sign]}
            onChange={(answer) =>
              setChanges({ ...changes, seen: { ...content.seen, ...changes.seen, [sign]: answer } })
            }
            options={ternary}
          />
        ))}
        <Choice
          label="On the outside"
          value={changes.fluid ?? content.fluid}
          onChange={(fluid) => setChanges({ ...changes, fluid })}
          options={form.fluids.map(({ code, words }) => [code as NonNullable<Changes['fluid']>, words] as const)}
          fault={faultAt(amend.error, '/changes/fluid')}
        />
        <Choice
          label="Infection"
          value={changes.agent ?? content.agent}
          onChange={(agent) => setChanges({ ...changes, agent })}
          options={site.agents.map(({ code, name }) => [code, name] as const)}
          fault={faultAt(amend.error, '/changes/agent')}
        />
        <Choice
          label="How sure"
          value={changes.certainty ?? content.certainty}
          onChange={(certainty) => setChanges({ ...changes, certainty })}
          options={form.certainties.map(
            ({ code, words }) => [code as NonNullable<Changes['certainty']>, words] as const,
          )}
          fault={faultAt(amend.error, '/changes/certainty')}
        />
        <TextEntry
          label="In words (can be left empty)"
          isLong
          value={account}
          onChange={setAccount}
          fault={faultAt(amend.error, '/account')}
        />
        <Refusal error={withoutFields(amend.error, fields)} />
        {amend.data && (
          <p role="status">
            Kept as revision {amend.data.revision}.{' '}
            {amend.data.tightenedAtOnce && 'The follow-up was tightened at once. '}
            {amend.data.needsDetermination && 'What would loosen it waits for a new decision.'}
          </p>
        )}
        <ActButton type="submit" isBusy={amend.isPending} isDisabled={!hasChanged}>
          Add the amendment
        </ActButton>
      </Form>
    </details>
  );
}
