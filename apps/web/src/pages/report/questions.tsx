import { useState, type ReactNode } from 'react';
import { Button } from 'react-aria-components/Button';
import { ActButton } from '../../shell/act-button.js';
import type { Ensemble, Site, Ternary, Worded, Zone } from '../../api.js';
import { TextEntry } from '../../shell/fields.js';
import { AnswerTile, TickTile } from '../../shell/tile.js';
import { instantOf, wallClock } from '../../time-words.js';
import {
  BODY_SIGNS,
  layersToLookAt,
  type BodySign,
  type Certainty,
  type Draft,
  type Extent,
  type FirstAidAction,
  type Fluid,
  type Interval,
  type Manner,
  type Question,
  type Stage,
  type Task,
} from './draft.js';
import { LayerPicker } from './layer-picker.js';

const MINUTE = 60_000;

interface AskProps {
  question: Question;
  draft: Draft;
  site: Site;
  ensemble: Ensemble;
  fault: string | undefined;
  /** Keeps an answer that is still being made up. */
  onChange: (draft: Draft) => void;
  /** Keeps the answer and goes on. */
  onAnswer: (draft: Draft) => void;
}

/** What a question asks, as its heading and one line of help. */
export function questionInWords(
  question: Question,
  draft: Draft,
  ensemble: Ensemble,
): { title: string; help?: ReactNode } {
  const layer =
    'layer' in question ? (ensemble.layers.find(({ id }) => id === question.layer)?.name ?? question.layer) : '';
  const you = draft.wearer === 'self' || draft.wearer === undefined;
  switch (question.id) {
    case 'wearer':
      return {
        title: 'Who is this report about?',
        help: 'One report for each person. Others can be added at the end.',
      };
    case 'unit':
      return { title: 'Where did it happen?' };
    case 'what':
      return { title: 'What failed?', help: 'Touch the figure to narrow the list. More than one can be chosen.' };
    case 'extent':
      return { title: `${layer}: how far?` };
    case 'manner':
      return { title: `${layer}: how?` };
    case 'stage':
      return { title: 'At which stage?' };
    case 'step':
      return { title: 'At which step of taking off?', help: 'The step that was being done when it happened.' };
    case 'occurred':
      return { title: 'When did it happen?', help: 'As near as you can say. A span is as good as a minute.' };
    case 'touched':
      return {
        title: you ? 'What reached your body?' : 'What reached the body?',
        help: 'Choose all that hold. Say below whether somebody looked for the others.',
      };
    case 'touchedWhere':
      return { title: 'Where was the skin wet or cut?', help: 'Choose all that hold.' };
    case 'callMe':
      return {
        title: you ? 'Shall occupational health call you?' : 'Shall occupational health call this person?',
        help: 'They see this report either way.',
      };
    case 'foundWhole':
      return {
        title: 'Which of these did somebody look at and find whole?',
        help: 'Looked at closely, after it was taken off. What nobody looked at is not known: that is a full answer.',
      };
    case 'brokenSkinBefore':
      return {
        title: 'Was the skin there broken before it happened?',
        help: 'Eczema, a graze, a cut that had not healed.',
      };
    case 'fluid':
      return { title: 'What was on the outside?', help: 'The fluid that was there when it happened.' };
    case 'task':
      return { title: 'What was being done?' };
    case 'leftAreaAt':
      return { title: 'When was the patient area left?' };
    case 'certainty':
      return { title: 'Is it known what the patient has?' };
    case 'agent':
      return { title: 'Which infection?' };
    case 'source':
      return {
        title: 'The patient’s code',
        help: 'The code from your unit’s list. Never a name or a hospital number.',
      };
    case 'firstAid':
      return { title: 'Which first aid is done?', help: 'Choose all that hold.' };
    case 'buddy':
      return { title: 'Who was the buddy?' };
    case 'account':
      return { title: 'Anything in your own words?', help: 'It can be left empty.' };
    case 'anyoneElse':
      return {
        title: 'Could anyone else have been reached?',
        help: 'The buddy, an assistant, somebody who stood by. They get a report of their own.',
      };
  }
}

/** The answers to one question. */
export function Ask(props: AskProps) {
  const { question, draft, site, ensemble, fault, onChange, onAnswer } = props;
  const one = <Value extends string>(
    options: readonly (readonly [Value, ReactNode, ReactNode?])[],
    value: string | null | undefined,
    take: (value: Value) => Draft,
  ) => (
    <div className="tiles">
      {options.map(([option, words, note]) => (
        <AnswerTile key={option} note={note} isChosen={value === option} onPress={() => onAnswer(take(option))}>
          {words}
        </AnswerTile>
      ))}
    </div>
  );
  const { form } = site;
  const ternary = (
    value: Ternary | undefined,
    take: (value: Ternary) => Draft,
    words: readonly [yes: string, no: string] = ['Yes', 'No'],
  ) =>
    one<Ternary>(
      [
        ['yes', words[0]],
        ['no', words[1]],
        ['unknown', 'Not known'],
      ],
      value,
      take,
    );

  switch (question.id) {
    case 'wearer':
      return <AskWearer {...props} />;
    case 'unit':
      return one(
        site.units.map(({ unitId, name }) => [unitId, name] as const),
        draft.unitId,
        (unitId) => ({ ...draft, unitId }),
      );
    case 'what':
      return (
        <LayerPicker
          ensemble={ensemble}
          site={site}
          value={draft.what}
          onChange={(what) => onChange({ ...draft, what })}
          onDone={(what) => onAnswer({ ...draft, what })}
        />
      );
    case 'extent':
      return one(
        withNotKnown<Extent>(form.extents, 'unknown', EXTENT_NOTES),
        draft.extents[question.layer],
        (extent) => ({ ...draft, extents: { ...draft.extents, [question.layer]: extent } }),
      );
    case 'manner':
      return one(
        withNotKnown<Manner>(form.manners, 'unknown', MANNER_NOTES),
        draft.manners[question.layer],
        (manner) => ({ ...draft, manners: { ...draft.manners, [question.layer]: manner } }),
      );
    case 'stage':
      return one(
        [
          ...worded<Stage>(form.stages),
          ['not-known', 'Not known', 'Kept as taking off, step not known: any layer may have been off'],
        ],
        draft.stageNotKnown ? 'not-known' : draft.stage,
        (stage) =>
          stage === 'not-known'
            ? { ...draft, stage: 'removal', step: null, stageNotKnown: true }
            : { ...draft, stage, step: stage === 'removal' ? draft.step : undefined, stageNotKnown: false },
      );
    case 'step':
      return one(
        [
          ...ensemble.removal.map(({ id, words }, index) => [id, words, `Step ${index + 1}`] as const),
          ['not-known', 'Not known'] as const,
        ],
        draft.step === null ? 'not-known' : draft.step,
        (step) => ({ ...draft, step: step === 'not-known' ? null : step }),
      );
    case 'occurred':
      return <AskWhen {...props} />;
    case 'touched':
      return <AskTouched {...props} />;
    case 'touchedWhere':
      return (
        <AskSeveral
          options={worded<Zone>(form.zones)}
          value={draft.touchedWhere}
          none={{ words: 'Not known', value: [] }}
          onAnswer={(touchedWhere) => onAnswer({ ...draft, touchedWhere })}
        />
      );
    case 'callMe':
      return one(
        [
          ['yes', 'Yes, call'],
          ['no', 'No call needed now'],
        ],
        draft.callMe === undefined ? undefined : draft.callMe ? 'yes' : 'no',
        (callMe) => ({ ...draft, callMe: callMe === 'yes' }),
      );
    case 'foundWhole':
      return (
        <AskSeveral
          options={layersToLookAt(ensemble, draft.what).map(
            (id) => [id, ensemble.layers.find((layer) => layer.id === id)?.name ?? id] as const,
          )}
          value={draft.foundWhole}
          none={{ words: 'Not known, or nobody looked', value: [] }}
          onAnswer={(foundWhole) => onAnswer({ ...draft, foundWhole })}
        />
      );
    case 'brokenSkinBefore':
      return ternary(draft.brokenSkinBefore, (brokenSkinBefore) => ({ ...draft, brokenSkinBefore }));
    case 'fluid':
      return one(withNotKnown<Fluid>(form.fluids, 'unknown'), draft.fluid, (fluid) => ({ ...draft, fluid }));
    case 'task':
      return one(withNotKnown<Task>(form.tasks, 'not-known'), draft.task, (task) => ({ ...draft, task }));
    case 'leftAreaAt':
      return <AskLeft {...props} />;
    case 'certainty':
      return one(withNotKnown<Certainty>(form.certainties, 'unknown'), draft.certainty, (certainty) => ({
        ...draft,
        certainty,
      }));
    case 'agent':
      return one(
        [...site.agents.map(({ code, name }) => [code, name] as const), ['unknown', 'Not known'] as const],
        draft.agent === null ? 'unknown' : draft.agent,
        (agent) => ({ ...draft, agent: agent === 'unknown' ? null : agent }),
      );
    case 'source':
      return (
        <AskText
          label="Code"
          value={draft.source}
          none="Not known"
          fault={fault}
          onAnswer={(source) => onAnswer({ ...draft, source })}
        />
      );
    case 'firstAid':
      return (
        <AskSeveral
          options={worded<FirstAidAction>(form.firstAidActions).filter(([code]) => code !== 'none-yet')}
          value={draft.firstAid}
          none={{ words: 'None yet', value: ['none-yet'] }}
          unknown={() => onAnswer({ ...draft, firstAid: undefined })}
          onAnswer={(firstAid) => onAnswer({ ...draft, firstAid })}
        />
      );
    case 'buddy':
      return (
        <AskText
          label="Name or staff number"
          value={draft.buddy}
          none="Nobody, or not known"
          fault={fault}
          onAnswer={(buddy) => onAnswer({ ...draft, buddy })}
        />
      );
    case 'account':
      return (
        <AskText
          label="Your words"
          isLong
          value={draft.account}
          none="Nothing to add"
          fault={fault}
          onAnswer={(account) => onAnswer({ ...draft, account })}
        />
      );
    case 'anyoneElse':
      return ternary(draft.anyoneElse, (anyoneElse) => ({ ...draft, anyoneElse }));
  }
}

const EXTENT_NOTES: Partial<Record<Extent, string>> = {
  partial: 'A hole, a split, a damp patch, an edge that came away',
  total: 'Nothing of it held back any longer',
};

const MANNER_NOTES: Partial<Record<Manner, string>> = { puncture: 'A needle, a blade, glass or bone' };

type Option<Code extends string> = readonly [code: Code, words: string, note?: string];

/** The service's list; its codes are those of the contract. */
function worded<Code extends string>(list: readonly Worded[]): readonly (readonly [Code, string])[] {
  return list.map(({ code, words }) => [code as Code, words] as const);
}

/** The list with "not known" as its last answer, whether the service has it there or not. */
function withNotKnown<Code extends string>(
  list: readonly Worded[],
  notKnown: Code,
  notes: Partial<Record<Code, string>> = {},
): readonly Option<Code>[] {
  const known = worded<Code>(list).filter(([code]) => code !== notKnown);
  return [...known.map(([code, words]): Option<Code> => [code, words, notes[code]]), [notKnown, 'Not known']];
}

function AskWearer({ draft, fault, onAnswer }: AskProps) {
  const typed = typeof draft.wearer === 'object' ? draft.wearer.staffNumber : null;
  const [isColleague, setColleague] = useState(typed !== null);
  const [staffNumber, setStaffNumber] = useState(typed ?? '');
  return (
    <>
      <div className="tiles">
        <AnswerTile isChosen={draft.wearer === 'self'} onPress={() => onAnswer({ ...draft, wearer: 'self' })}>
          Me
        </AnswerTile>
        <AnswerTile
          isChosen={isColleague}
          note="The buddy types for the one who wore it"
          onPress={() => setColleague(true)}
        >
          A colleague
        </AnswerTile>
      </div>
      {isColleague && (
        <form
          className="typed-answer"
          onSubmit={(event) => {
            event.preventDefault();
            if (staffNumber.trim()) onAnswer({ ...draft, wearer: { staffNumber: staffNumber.trim() } });
          }}
        >
          <TextEntry
            label="The colleague’s staff number"
            help="From the badge. A name is not needed."
            fault={fault}
            value={staffNumber}
            onChange={setStaffNumber}
          />
          <ActButton type="submit" isDisabled={!staffNumber.trim()}>
            Go on
          </ActButton>
        </form>
      )}
    </>
  );
}

const SPANS = [
  ['In the last 10 minutes', 10, 0],
  ['10 to 30 minutes ago', 30, 10],
  ['30 minutes to 1 hour ago', 60, 30],
  ['1 to 4 hours ago', 240, 60],
] as const;

/** The longest that an unknown time is taken to lie back: one long shift. */
const LONG_SHIFT_MINUTES = 12 * 60;

function span(earliest: number, latest: number): Interval {
  const now = Date.now();
  return {
    from: new Date(now - earliest * MINUTE).toISOString(),
    until: new Date(now - latest * MINUTE).toISOString(),
  };
}

function AskWhen({ draft, site, fault, onAnswer }: AskProps) {
  const [isExact, setExact] = useState(fault !== undefined);
  return (
    <>
      <div className="tiles">
        {SPANS.map(([words, earliest, latest]) => (
          <AnswerTile
            key={words}
            isChosen={false}
            onPress={() => onAnswer({ ...draft, occurred: span(earliest, latest) })}
          >
            {words}
          </AnswerTile>
        ))}
        <AnswerTile isChosen={isExact} onPress={() => setExact(true)}>
          I know the time
        </AnswerTile>
        <AnswerTile
          isChosen={false}
          note="Kept as “some time in the last 12 hours”"
          onPress={() => onAnswer({ ...draft, occurred: span(LONG_SHIFT_MINUTES, 0) })}
        >
          Not known
        </AnswerTile>
      </div>
      {isExact && (
        <ExactTime
          timeZone={site.timeZone}
          fault={fault}
          value={draft.occurred?.from === draft.occurred?.until ? draft.occurred?.from : undefined}
          onAnswer={(at) => onAnswer({ ...draft, occurred: { from: at, until: at } })}
        />
      )}
    </>
  );
}

function AskLeft({ draft, site, fault, onAnswer }: AskProps) {
  const [isExact, setExact] = useState(fault !== undefined);
  const happened = draft.occurred?.until;
  const after = (minutes: number) => {
    const at = Date.parse(happened ?? '') + minutes * MINUTE;
    return new Date(Math.min(at, Date.now())).toISOString();
  };
  return (
    <>
      <div className="tiles">
        <AnswerTile isChosen={false} onPress={() => onAnswer({ ...draft, leftAreaAt: after(0) })}>
          At once
        </AnswerTile>
        <AnswerTile isChosen={false} onPress={() => onAnswer({ ...draft, leftAreaAt: after(10) })}>
          Within 10 minutes
        </AnswerTile>
        <AnswerTile isChosen={isExact} onPress={() => setExact(true)}>
          I know the time
        </AnswerTile>
        <AnswerTile isChosen={draft.leftAreaAt === null} onPress={() => onAnswer({ ...draft, leftAreaAt: null })}>
          Not known
        </AnswerTile>
      </div>
      {isExact && (
        <ExactTime
          timeZone={site.timeZone}
          fault={fault}
          value={draft.leftAreaAt ?? undefined}
          onAnswer={(leftAreaAt) => onAnswer({ ...draft, leftAreaAt })}
        />
      )}
    </>
  );
}

function ExactTime({
  timeZone,
  value,
  fault,
  onAnswer,
}: {
  timeZone: string;
  value: string | undefined;
  fault: string | undefined;
  onAnswer: (instant: string) => void;
}) {
  const [{ date, time }, setTyped] = useState(() => {
    const start = wallClock(value ? Date.parse(value) : Date.now(), timeZone);
    return value ? start : { date: start.date, time: '' };
  });
  const [missed, setMissed] = useState<string>();
  return (
    <form
      className="typed-answer"
      onSubmit={(event) => {
        event.preventDefault();
        const instant = instantOf(date, time, timeZone);
        if (instant) onAnswer(instant);
        else setMissed('Give a date and a time that the clock here shows.');
      }}
    >
      <TextEntry
        label="Time"
        help={`On the clock of ${timeZone}`}
        type="time"
        value={time}
        onChange={(next) => setTyped({ date, time: next })}
        fault={missed ?? fault}
      />
      <TextEntry label="Day" type="date" value={date} onChange={(next) => setTyped({ date: next, time })} />
      <ActButton type="submit">Go on</ActButton>
    </form>
  );
}

/** What can be seen on the body, in words. */
export const SIGN_WORDS: Readonly<Record<BodySign, string>> = {
  skinWet: 'Skin was wet',
  skinCut: 'Skin was cut or grazed',
  eyeSplash: 'A splash in the eye',
  mouthNoseSplash: 'A splash in the mouth or nose',
  sharpsInjury: 'A sharp went in',
};

function AskTouched({ draft, onAnswer }: AskProps) {
  const [signs, setSigns] = useState<readonly BodySign[]>(draft.touched?.signs ?? []);
  const answer = (lookedForTheRest: boolean, chosen: readonly BodySign[] = signs) =>
    onAnswer({ ...draft, touched: { signs: chosen, lookedForTheRest } });
  const isAnswered = (looked: boolean) =>
    draft.touched?.signs.length === 0 && signs.length === 0 && draft.touched.lookedForTheRest === looked;
  return (
    <>
      <div className="tiles">
        {BODY_SIGNS.map((sign) => (
          <TickTile
            key={sign}
            isChosen={signs.includes(sign)}
            onChange={(isChosen) => setSigns(isChosen ? [...signs, sign] : signs.filter((each) => each !== sign))}
          >
            {SIGN_WORDS[sign]}
          </TickTile>
        ))}
        {signs.length === 0 && (
          <>
            <AnswerTile isChosen={isAnswered(true)} note="Somebody looked" onPress={() => answer(true, [])}>
              None of these
            </AnswerTile>
            <AnswerTile isChosen={isAnswered(false)} onPress={() => answer(false, [])}>
              Not known
            </AnswerTile>
          </>
        )}
      </div>
      {signs.length > 0 && (
        <div className="go-on">
          <ActButton onPress={() => answer(true)}>Only this: we looked for the others</ActButton>
          <ActButton isSecond onPress={() => answer(false)}>
            This; the others are not known
          </ActButton>
        </div>
      )}
    </>
  );
}

function AskSeveral<Code extends string>({
  options,
  value,
  none,
  unknown,
  onAnswer,
}: {
  options: readonly (readonly [value: Code, words: string])[];
  value: readonly Code[] | undefined;
  none: { readonly words: string; readonly value: readonly Code[] };
  unknown?: () => void;
  onAnswer: (value: readonly Code[]) => void;
}) {
  const [chosen, setChosen] = useState<readonly Code[]>(() =>
    (value ?? []).filter((each) => !none.value.includes(each)),
  );
  return (
    <>
      <div className="tiles">
        {options.map(([option, words]) => (
          <TickTile
            key={option}
            isChosen={chosen.includes(option)}
            onChange={(isChosen) =>
              setChosen(isChosen ? [...chosen, option] : chosen.filter((each) => each !== option))
            }
          >
            {words}
          </TickTile>
        ))}
        {chosen.length === 0 && (
          <AnswerTile
            isChosen={value !== undefined && none.value.join() === value.join()}
            onPress={() => onAnswer(none.value)}
          >
            {none.words}
          </AnswerTile>
        )}
        {chosen.length === 0 && unknown && (
          <AnswerTile isChosen={false} onPress={unknown}>
            Not known
          </AnswerTile>
        )}
      </div>
      {chosen.length > 0 && (
        <div className="go-on">
          <ActButton onPress={() => onAnswer(chosen)}>
            Go on with {chosen.length === 1 ? 'this' : `these ${chosen.length}`}
          </ActButton>
        </div>
      )}
    </>
  );
}

function AskText({
  label,
  value,
  none,
  fault,
  isLong = false,
  onAnswer,
}: {
  label: string;
  value: string | null | undefined;
  none: string;
  fault: string | undefined;
  isLong?: boolean;
  onAnswer: (value: string | null) => void;
}) {
  const [typed, setTyped] = useState(value ?? '');
  return (
    <form
      className="typed-answer"
      onSubmit={(event) => {
        event.preventDefault();
        onAnswer(typed.trim() || null);
      }}
    >
      <TextEntry label={label} value={typed} onChange={setTyped} isLong={isLong} fault={fault} />
      <div className="tiles">
        <Button type="submit" className="tile tile-act" isDisabled={!typed.trim()}>
          <span className="tile-words">Go on</span>
        </Button>
        <AnswerTile isChosen={value === null} onPress={() => onAnswer(null)}>
          {none}
        </AnswerTile>
      </div>
    </form>
  );
}
