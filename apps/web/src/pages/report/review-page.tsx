import { Button } from 'react-aria-components/Button';
import { ActButton } from '../../shell/act-button.js';
import type { Ensemble, Problem, Site, Worded } from '../../api.js';
import { Between, Moment } from '../../shell/moment.js';
import { PageHeading } from '../../shell/page-heading.js';
import { inWords, TERNARY_WORDS } from '../../words.js';
import { BODY_SIGNS, type Draft, type Question } from './draft.js';
import { questionInWords, SIGN_WORDS } from './questions.js';

/** Everything that was told, in words, before it is sent; each line can be changed. */
export function ReviewPage({
  draft,
  site,
  ensemble,
  questions,
  refused,
  onChange,
  onFix,
  onSend,
  onBack,
}: {
  draft: Draft;
  site: Site;
  ensemble: Ensemble;
  questions: readonly Question[];
  refused: Problem | null;
  onChange: (question: Question) => void;
  onFix: (problem: Problem) => void;
  onSend: (confirmed: boolean) => void;
  onBack: () => void;
}) {
  const isDoubted = refused?.code === 'needs-confirmation';
  return (
    <div className="review">
      <PageHeading
        title={refused ? (isDoubted ? 'Is this right?' : 'One answer needs a change') : 'Is this how it was?'}
      />
      {refused && (
        <div role="alert" className="refusal">
          <p>{refused.detail || refused.title}</p>
          {refused.errors.length > 0 && (
            <ul>
              {refused.errors.map(({ pointer, detail, accepted }) => (
                <li key={pointer + detail}>
                  {detail}
                  {accepted && <> Accepted: {accepted}.</>}
                </li>
              ))}
            </ul>
          )}
          <p>
            <ActButton onPress={() => onFix(refused)}>Change it</ActButton>
            {isDoubted && (
              <ActButton isSecond onPress={() => onSend(true)}>
                It is right as it stands: send it
              </ActButton>
            )}
          </p>
        </div>
      )}
      <dl className="told">
        {questions.map((question) => (
          <div key={question.id + ('layer' in question ? question.layer : '')}>
            <dt>{questionInWords(question, draft, ensemble).title}</dt>
            <dd>
              <AnswerInWords question={question} draft={draft} site={site} ensemble={ensemble} />
              <Button
                className="quiet"
                aria-label={`Change: ${questionInWords(question, draft, ensemble).title}`}
                onPress={() => onChange(question)}
              >
                Change
              </Button>
            </dd>
          </div>
        ))}
      </dl>
      <div className="tiles">
        <Button className="tile tile-act" onPress={() => onSend(false)}>
          <span className="tile-words">Send the report</span>
          <span className="tile-note">What is not known stays “not known”; it is never taken as a no</span>
        </Button>
        <Button className="tile" onPress={onBack}>
          <span className="tile-words">Back</span>
        </Button>
      </div>
    </div>
  );
}

function AnswerInWords({
  question,
  draft,
  site,
  ensemble,
}: {
  question: Question;
  draft: Draft;
  site: Site;
  ensemble: Ensemble;
}) {
  const { form } = site;
  const coded = (list: readonly Worded[], code: string | undefined) =>
    code === undefined ? undefined : inWords(list, code);
  const layerName = (id: string) => ensemble.layers.find((layer) => layer.id === id)?.name ?? id;
  const list = (words: readonly string[] | undefined, none: string) =>
    words === undefined ? undefined : words.length === 0 ? none : words.join(', ');
  const words = (): React.ReactNode => {
    switch (question.id) {
      case 'wearer':
        return draft.wearer === 'self'
          ? 'Me'
          : draft.wearer && `The colleague with staff number ${draft.wearer.staffNumber}`;
      case 'unit':
        return site.units.find(({ unitId }) => unitId === draft.unitId)?.name;
      case 'what': {
        const what = draft.what;
        if (!what) return undefined;
        if (what.caughtInTime) return 'It was caught in time';
        return list(
          [...what.layers.map(layerName), ...what.lapses.map((code) => inWords(form.lapses, code))],
          'Something failed; which layer is not known',
        );
      }
      case 'extent':
        return coded(form.extents, draft.extents[question.layer]);
      case 'manner':
        return coded(form.manners, draft.manners[question.layer]);
      case 'stage':
        return draft.stageNotKnown ? 'Not known' : coded(form.stages, draft.stage);
      case 'step':
        return draft.step === null ? 'Not known' : ensemble.removal.find(({ id }) => id === draft.step)?.words;
      case 'occurred':
        return draft.occurred && <Between {...draft.occurred} timeZone={site.timeZone} />;
      case 'touched': {
        const touched = draft.touched;
        if (!touched) return undefined;
        const seen = BODY_SIGNS.filter((sign) => touched.signs.includes(sign)).map((sign) => SIGN_WORDS[sign]);
        const rest = touched.lookedForTheRest ? 'somebody looked for the others' : 'the others are not known';
        if (seen.length > 0) return `${seen.join(', ')}; ${rest}`;
        return touched.lookedForTheRest ? 'None of these; somebody looked' : 'Not known';
      }
      case 'touchedWhere':
        return list(
          draft.touchedWhere?.map((zone) => inWords(form.zones, zone)),
          'Not known',
        );
      case 'callMe':
        return draft.callMe === undefined ? undefined : draft.callMe ? 'Yes, call' : 'No call needed now';
      case 'foundWhole':
        return list(draft.foundWhole?.map(layerName), 'Not known, or nobody looked');
      case 'brokenSkinBefore':
        return draft.brokenSkinBefore && TERNARY_WORDS[draft.brokenSkinBefore];
      case 'fluid':
        return coded(form.fluids, draft.fluid);
      case 'task':
        return coded(form.tasks, draft.task);
      case 'leftAreaAt':
        return draft.leftAreaAt === null
          ? 'Not known'
          : draft.leftAreaAt && <Moment at={draft.leftAreaAt} timeZone={site.timeZone} />;
      case 'certainty':
        return coded(form.certainties, draft.certainty);
      case 'agent':
        return draft.agent === null ? 'Not known' : site.agents.find(({ code }) => code === draft.agent)?.name;
      case 'source':
        return draft.source === null ? 'Not known' : draft.source;
      case 'firstAid':
        return list(
          draft.firstAid?.map((code) => inWords(form.firstAidActions, code)),
          'None yet',
        );
      case 'buddy':
        return draft.buddy === null ? 'Nobody, or not known' : draft.buddy;
      case 'account':
        return draft.account === null ? 'Nothing to add' : draft.account;
      case 'anyoneElse':
        return draft.anyoneElse && TERNARY_WORDS[draft.anyoneElse];
    }
  };
  return <span>{words() || <span className="not-known">Not known</span>}</span>;
}
