import '../../style/report.css';
import { useBlocker } from '@tanstack/react-router';
import { useState } from 'react';
import { Button } from 'react-aria-components/Button';
import { v7 as newId } from 'uuid';
import { ActButton } from '../../shell/act-button.js';
import type { Problem, Site } from '../../api.js';
import { letGo, sendReport, useParcels } from '../../outbox.js';
import { useSession, useSite } from '../../session.js';
import { PageHeading } from '../../shell/page-heading.js';
import { faultAt, Refusal } from '../../shell/refusal.js';
import { AdvicePage } from './advice-page.js';
import {
  EMPTY_DRAFT,
  ensembleOf,
  isEnough,
  questionAt,
  questionsOf,
  reportBodyOf,
  type Draft,
  type Question,
} from './draft.js';
import { NotYetSent } from './not-yet-sent.js';
import { Ask, questionInWords } from './questions.js';
import { ReviewPage } from './review-page.js';
import { StartPage } from './start-page.js';
import { useTrail } from './trail.js';

function same(a: Question, b: Question): boolean {
  return a.id === b.id && ('layer' in a ? a.layer : '') === ('layer' in b ? b.layer : '');
}

/** The report of one breach: first aid, then one question a screen, then what to do until somebody has called. */
export function ReportPage() {
  const site = useSite();
  if (site.isPending) return <p role="status">Opening the report</p>;
  if (!site.data) {
    return (
      <>
        <PageHeading title="Report" />
        <Refusal error={site.error} />
        <ActButton onPress={() => void site.refetch()}>Try again</ActButton>
      </>
    );
  }
  return <Report site={site.data} />;
}

function Report({ site }: { site: Site }) {
  const session = useSession();
  const { stand, go, back, restart } = useTrail();
  const [draft, setDraft] = useState<Draft>(EMPTY_DRAFT);
  const [ids, setIds] = useState<{ reportId: string; eventId?: string }>(() => ({ reportId: newId() }));
  const parcel = useParcels().find(({ body }) => body.reportId === ids.reportId);
  const refused = parcel?.sending.state === 'refused' ? parcel.sending.problem : null;

  const questions = questionsOf(draft, site);
  const ensemble = ensembleOf(site, draft.unitId);

  const ask = (question: Question | undefined, backToReview = false) => {
    if (question) go({ at: 'question', question, backToReview });
  };

  const isBegun = stand.at === 'question' || stand.at === 'review';
  useBlocker({
    shouldBlockFn: ({ next }) =>
      isBegun && next.pathname !== '/report' && !window.confirm('Leave this report? What was told so far is not kept.'),
    enableBeforeUnload: () => isBegun,
  });

  const startOver = (eventId?: string) => {
    letGo(ids.reportId);
    setIds(eventId ? { reportId: newId(), eventId } : { reportId: newId() });
    // Somebody else at the same event: what happened to the first person is not what happened to the next.
    setDraft(
      eventId
        ? { ...EMPTY_DRAFT, unitId: draft.unitId, certainty: draft.certainty, agent: draft.agent, source: draft.source }
        : EMPTY_DRAFT,
    );
    if (eventId) restart({ at: 'question', question: { id: 'wearer' }, backToReview: false });
    else restart();
  };

  const send = (confirmed = false) => {
    sendReport(session.accountId, reportBodyOf(draft, ids, site, confirmed));
    go({ at: 'sent' });
  };

  if (!ensemble) {
    return (
      <>
        <PageHeading title="Report" />
        <p>No ensemble is set up at this site yet. Telephone occupational health: they take the report.</p>
      </>
    );
  }

  // Once it is on its way it is not told anew: the way back leads to where it stands.
  if (parcel && !refused) {
    if (parcel.sending.state === 'kept') {
      return (
        <AdvicePage
          answer={parcel.sending.answer}
          anyoneElse={draft.anyoneElse ?? 'unknown'}
          onNextPerson={startOver}
          onDone={() => startOver()}
        />
      );
    }
    return <NotYetSent parcel={parcel} site={site} />;
  }

  if (stand.at === 'start') {
    return <StartPage ensemble={ensemble} site={site} onOut={() => ask({ id: 'wearer' })} />;
  }

  if (stand.at === 'question') {
    const { question, backToReview } = stand;
    const index = questions.findIndex((each) => same(each, question));
    const words = questionInWords(question, draft, ensemble);
    const fault = refused ? faultOf(refused, question, draft) : undefined;
    const answered = (next: Draft) => {
      setDraft(next);
      const asked = questionsOf(next, site);
      const here = asked.findIndex((each) => same(each, question));
      const following = asked[here + 1];
      // A corrected answer can raise a question that was not there before; then that one is asked first.
      const isNew = following && !questions.some((each) => same(each, following));
      if ((backToReview && !isNew) || !following) go({ at: 'review' });
      else ask(following, backToReview);
    };
    return (
      <div className="question">
        <p className="question-count">
          Question {index + 1} of {questions.length}
        </p>
        <PageHeading title={words.title} />
        {words.help && <p className="question-help">{words.help}</p>}
        {fault && (
          <p role="alert" className="refusal">
            {fault}
          </p>
        )}
        <Ask
          key={question.id + ('layer' in question ? question.layer : '')}
          question={question}
          draft={draft}
          site={site}
          ensemble={ensemble}
          fault={fault}
          onChange={setDraft}
          onAnswer={answered}
        />
        <div className="question-foot">
          <Button className="step-back" onPress={back}>
            {backToReview ? 'Back to the summary' : index === 0 ? 'Back to first aid' : 'Back'}
          </Button>
          {isEnough(draft) && !backToReview && (
            <Button className="send-now" onPress={() => go({ at: 'review' })}>
              Enough: the rest by telephone
            </Button>
          )}
        </div>
      </div>
    );
  }

  return (
    <ReviewPage
      draft={draft}
      site={site}
      ensemble={ensemble}
      questions={questions}
      refused={refused}
      onChange={(question) => ask(question, true)}
      onFix={(problem) => ask(questionAt(problem.errors[0]?.pointer ?? '', draft), true)}
      onSend={send}
      onBack={back}
    />
  );
}

function faultOf(problem: Problem, question: Question, draft: Draft): string | undefined {
  const mine = problem.errors.find((error) => same(questionAt(error.pointer, draft), question));
  return mine && faultAt(problem, mine.pointer);
}
