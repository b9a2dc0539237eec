import { ActButton } from '../../shell/act-button.js';
import { api, type IncidentFile, type Site } from '../../api.js';
import { useAct } from '../../shell/act.js';
import { Moment } from '../../shell/moment.js';
import { Refusal } from '../../shell/refusal.js';

/** The referral: made from what stands here, read as a document, signed by hand. */
export function LettersPart({ file, site, maySign }: { file: IncidentFile; site: Site; maySign: boolean }) {
  const { incident, letters } = file;
  const changes = [['incident', incident.incidentId]];
  const draft = useAct(() => api.draftLetter(incident.incidentId), { changes });
  const sign = useAct((letterId: string) => api.signLetter(letterId), { changes });
  return (
    <section id="letters" aria-labelledby="letters-heading">
      <h2 id="letters-heading">Referral letter</h2>
      {letters.length === 0 && <p>No letter was made yet.</p>}
      <ul className="letters">
        {letters.map(({ letterId, revision, createdAt, signedAt }) => (
          <li key={letterId}>
            <span>
              Revision {revision}, made <Moment at={createdAt} timeZone={site.timeZone} />;{' '}
              {signedAt ? (
                <>
                  signed <Moment at={signedAt} timeZone={site.timeZone} />
                </>
              ) : (
                <span className="waits">not signed</span>
              )}
              {revision !== incident.revision && '; the case has changed since'}
            </span>
            <a className="act act-second" href={api.letterAddress(letterId)} target="_blank" rel="noreferrer">
              Open the letter<span className="visually-hidden"> of revision {revision}, a PDF in a new window</span>
            </a>
            {maySign && signedAt === null && (
              <ActButton isBusy={sign.isPending} onPress={() => sign.mutate(letterId)}>
                Sign the letter
              </ActButton>
            )}
          </li>
        ))}
      </ul>
      <Refusal error={sign.error ?? draft.error} />
      <ActButton isSecond isBusy={draft.isPending} onPress={() => draft.mutate(undefined)}>
        Make a letter
      </ActButton>
    </section>
  );
}
