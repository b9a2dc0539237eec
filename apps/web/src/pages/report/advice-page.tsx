import { Button } from 'react-aria-components/Button';
import { Disclosure, DisclosurePanel } from 'react-aria-components/Disclosure';
import { Heading } from 'react-aria-components/Heading';
import type { ReportAnswer, Ternary } from '../../api.js';
import { FirstAidList } from '../../shell/first-aid.js';
import { Telephone } from '../../shell/lifeline.js';
import { PageHeading } from '../../shell/page-heading.js';

/** What to do now: actions and numbers, never the category. Ends with whoever else was there. */
export function AdvicePage({
  answer,
  anyoneElse,
  onNextPerson,
  onDone,
}: {
  answer: ReportAnswer;
  anyoneElse: Ternary;
  onNextPerson: (eventId: string) => void;
  onDone: () => void;
}) {
  const { advice } = answer;
  return (
    <div className="advice">
      <PageHeading title="Kept. What to do now" />
      <p className="kept" role="status">
        The report has arrived and is kept. Occupational health has it before them.
      </p>
      <section aria-labelledby="until-asked">
        <h2 id="until-asked">Until occupational health has spoken to you</h2>
        <ul className="until-asked">
          {advice.untilAsked.map(({ words }) => (
            <li key={words}>{words}</li>
          ))}
        </ul>
        <ul className="calls">
          {advice.telephones.map(({ who, telephone }) => (
            <li key={who}>
              {who} <Telephone number={telephone} />
            </li>
          ))}
        </ul>
      </section>
      {advice.firstAid.length > 0 && (
        <section aria-labelledby="first-aid-now">
          <h2 id="first-aid-now">First aid, if it is not done</h2>
          <FirstAidList steps={advice.firstAid} />
        </section>
      )}
      {advice.removal.steps.length > 0 && (
        <section aria-labelledby="still-on">
          <h2 id="still-on">If anything is still on: take it off in this order</h2>
          <ul>
            {advice.removal.rule.map((words) => (
              <li key={words}>{words}</li>
            ))}
          </ul>
          <ol className="removal">
            {advice.removal.steps.map(({ id, words, checks, breached }) => (
              <li key={id} data-breached={breached || undefined}>
                <span>{words}</span>
                {breached && (
                  <strong className="removal-mark">This layer failed: slowly, and look at what is under it</strong>
                )}
                {checks.length > 0 && <span className="removal-checks">Look for: {checks.join('; ')}</span>}
              </li>
            ))}
          </ol>
          {advice.removal.exceptions.length > 0 && (
            <ul>
              {advice.removal.exceptions.map((words) => (
                <li key={words}>{words}</li>
              ))}
            </ul>
          )}
          <Disclosure className="if-collapsed">
            <Heading level={3}>
              <Button slot="trigger" className="quiet">
                If somebody collapses while still dressed
              </Button>
            </Heading>
            <DisclosurePanel>
              <ol>
                {advice.removal.emergency.map((words) => (
                  <li key={words}>{words}</li>
                ))}
              </ol>
            </DisclosurePanel>
          </Disclosure>
        </section>
      )}
      {advice.cautions.length > 0 && (
        <section aria-labelledby="mind">
          <h2 id="mind">Mind</h2>
          <ul>
            {advice.cautions.map((words) => (
              <li key={words}>{words}</li>
            ))}
          </ul>
        </section>
      )}
      <section aria-labelledby="anyone-else">
        <h2 id="anyone-else">Anyone else?</h2>
        <p>
          {anyoneElse === 'yes'
            ? 'You said that somebody else could have been reached. They need a report of their own.'
            : 'The buddy, an assistant, somebody who stood by: each gets a report of their own.'}
        </p>
        <div className="tiles">
          <Button className="tile tile-act" onPress={() => onNextPerson(answer.eventId)}>
            <span className="tile-words">Report for the next person</span>
            <span className="tile-note">At the same event</span>
          </Button>
          <Button className="tile" onPress={onDone}>
            <span className="tile-words">Done</span>
            <span className="tile-note">Clears this page for whoever comes next</span>
          </Button>
        </div>
      </section>
    </div>
  );
}
