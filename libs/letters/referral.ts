import type { EvidenceGrade, OpenQuestion, Source, Ternary } from '#domain';
import type { ReferralLetter } from '#application';
import { drawBarrier, type Measure } from './barrier-drawing.js';
import type { Block, LetterDocument } from './letter-document.js';
import { dateWords, intervalWords, latestOf, momentWords } from './moments.js';
import {
  answerWords,
  CERTAINTY_WORDS,
  EXTENT_WORDS,
  factWords,
  FIRST_AID_WORDS,
  FLUID_WORDS,
  GRADE_WORDS,
  KIND_WORDS,
  LAPSE_WORDS,
  levelWords,
  MANNER_WORDS,
  regimeWords,
  ROUTE_WORDS,
  STAGE_WORDS,
  TASK_WORDS,
  TERNARY_WORDS,
  ZONE_WORDS,
} from './words.js';

const NOT_GIVEN = 'not given';
const TWO_COLUMNS = [28, 72] as const;
/** The points that remain between the margins of either paper. */
const DRAWING_WIDTH = 487;
const DRAWING_KEY =
  'Zone by zone, outermost layer first. A solid line is an intact layer, which somebody looked at after removal and found whole; dashed is a partial breach, a gap a total one, dotted not known; a layer that was off is left out. The heavy line is the skin: an arrow shows that it was reached, a question mark that this is not known. A report does not tell left from right, so both sides are drawn alike.';

/** Sources are named once, at the end, and referred to by number. */
class SourceList {
  private readonly sources: string[] = [];

  /** ` [1, 3]`, or nothing where there is no source. */
  refer(sources: readonly Source[]): string {
    const numbers = sources.map((source) => this.numberOf(source)).sort((a, b) => a - b);
    return numbers.length > 0 ? ` [${[...new Set(numbers)].join(', ')}]` : '';
  }

  list(): readonly string[] {
    return this.sources;
  }

  private numberOf({ body, title, year, section, address }: Source): number {
    const words = [`${body}. ${title}. ${year}`, section, address].filter((part) => part).join('. ');
    const known = this.sources.indexOf(words);
    return known >= 0 ? known + 1 : this.sources.push(words);
  }
}

/**
 * Says a referral in blocks, in the order in which its reader needs them: what to do if the wearer is ill, what is asked, the
 * short of it, then the record. Which field comes from where stands in docs/letters.md.
 */
export function referralDocument(letter: ReferralLetter, contentHash: string, measure?: Measure): LetterDocument {
  const sources = new SourceList();
  const draft = letter.signature === null;
  return {
    title: 'Referral to occupational health',
    language: 'en-GB',
    paper: letter.paper,
    draftMark: draft ? 'Draft, not signed' : null,
    running: `Letter ${letter.letterId}, revision ${letter.revision}, content ${contentHash.slice(0, 16)}`,
    siteName: letter.siteName,
    createdAt: latestOf(
      [letter.reportedAt, letter.determination?.at, letter.signature?.at].filter((at) => at !== undefined),
    ),
    contentHash,
    blocks: [
      ...opening(letter, draft),
      ...inShort(letter),
      ...who(letter),
      ...whatHappened(letter),
      ...barrier(letter, sources, measure),
      ...assessment(letter, sources),
      ...stillOpen(letter),
      ...determination(letter),
      ...plan(letter, sources),
      ...firstAid(letter),
      ...notHeld(),
      ...cautions(letter),
      ...sourceBlocks(sources),
      ...signing(letter),
      ...identity(letter, contentHash),
    ],
  };
}

function opening(letter: ReferralLetter, draft: boolean): Block[] {
  const { emergency, occupationalHealth } = letter;
  const blocks: Block[] = [
    { kind: 'heading', level: 1, text: 'Referral to occupational health' },
    {
      kind: 'notice',
      urgency: 'act-now',
      heading: 'If the wearer is unwell now',
      lines: [emergency.words, `Telephone ${emergency.telephone || NOT_GIVEN}`],
    },
  ];
  if (draft)
    blocks.push({
      kind: 'notice',
      urgency: 'waits',
      heading: 'Draft, not signed',
      lines: ['Nothing in this letter is decided until a clinician has read and signed it.'],
    });
  blocks.push(
    table([
      ['To', given(['Occupational health', telephone(occupationalHealth.telephone), occupationalHealth.email])],
      ['From', given([letter.unitName, letter.siteName])],
      ['About', `${given([letter.wearer.name])}, staff number ${given([letter.wearer.staffNumber])}`],
      ['Reported', momentWords(letter.reportedAt, letter.content.occurred.timeZone)],
    ]),
    heading('The question put to you'),
    {
      kind: 'paragraph',
      text: letter.question || 'No question was written. Please say what follow-up this person needs.',
      tone: 'strong',
    },
  );
  return blocks;
}

function inShort({ assessment, determination, plan, content, agentName }: ReferralLetter): Block[] {
  const rows: string[][] = [
    [
      'What',
      `${KIND_WORDS[content.kind]}, ${STAGE_WORDS[content.stage]}. Agent: ${agentName}, ${CERTAINTY_WORDS[content.certainty]}.`,
    ],
    [
      'Assessed as',
      `${quoted(assessment.category)}${assessment.settled ? '' : ', interim, the worst that is still possible'}.`,
    ],
  ];
  rows.push([
    'Determined as',
    determination
      ? `${quoted(determination.category)}, which ${determination.departs ? 'departs from' : 'confirms'} the assessment.`
      : 'Not determined yet.',
  ]);
  rows.push([
    'Follow-up',
    plan
      ? `Until the end of ${dateWords(plan.lastDay)} (${plan.timeZone}), day 0 being ${dateWords(plan.dayZero)}.`
      : 'No plan is running.',
  ]);
  return [heading('In short'), table(rows)];
}

function who({ wearer, unitName, buddy }: ReferralLetter): Block[] {
  return [
    heading('Who'),
    pairs([
      ['Wearer', given([wearer.name])],
      ['Staff number', given([wearer.staffNumber])],
      ['Job', given([wearer.job])],
      ['Unit', given([unitName])],
      ['Telephone', given([wearer.telephone])],
      ['Buddy', buddy || 'not named'],
    ]),
  ];
}

function whatHappened(letter: ReferralLetter): Block[] {
  const { content, ensemble, account } = letter;
  const layerName = (id: string) => ensemble.layers.find((layer) => layer.id === id)?.name ?? id;
  const { from, until, timeZone } = content.occurred;
  const step = content.step && (ensemble.removal.find(({ id }) => id === content.step)?.words ?? content.step);
  const rows: string[][] = [
    ['When', intervalWords(from, until, timeZone)],
    ['Step reached', step ?? (content.stage === 'removal' ? 'not known' : 'does not apply')],
    ['Left the area', content.leftAreaAt ? momentWords(content.leftAreaAt, timeZone) : 'not known'],
    [
      'Lapses',
      content.lapses.length > 0 ? content.lapses.map((lapse) => LAPSE_WORDS[lapse]).join('; ') : 'none reported',
    ],
    [
      'Found whole',
      content.foundWhole.length > 0
        ? `${content.foundWhole.map(layerName).join('; ')} (looked at after removal)`
        : 'no layer was looked at after removal: all others count as not known',
    ],
  ];
  if (content.confirmedImplausible)
    rows.push(['Entry', 'looked implausible, was asked again and confirmed by whoever entered it']);
  const blocks: Block[] = [
    heading('What happened'),
    table(rows),
    pairs([
      ['Kind', KIND_WORDS[content.kind]],
      ['Stage', STAGE_WORDS[content.stage]],
      ['Agent', `${letter.agentName}, ${CERTAINTY_WORDS[content.certainty]}`],
      ['Fluid', FLUID_WORDS[content.fluid]],
      ['Task at hand', TASK_WORDS[content.task]],
      ['Anyone else', TERNARY_WORDS[content.anyoneElse]],
      ['Asks to be called', content.callMe ? 'yes' : 'no'],
    ]),
    heading('Layers that failed'),
    content.breaches.length > 0
      ? {
          kind: 'table',
          columns: ['Layer', 'Breach', 'Manner'],
          shares: [50, 25, 25],
          rows: content.breaches.map(({ layer, extent, manner }) => [
            layerName(layer),
            EXTENT_WORDS[extent],
            MANNER_WORDS[manner],
          ]),
        }
      : { kind: 'paragraph', text: 'None was reported.' },
  ];

  const { seen } = content;
  const seenRows: readonly (readonly [string, Ternary])[] = [
    ['Skin wet', seen.skinWet],
    ['Skin cut', seen.skinCut],
    ['Splash to the eyes', seen.eyeSplash],
    ['Splash to mouth or nose', seen.mouthNoseSplash],
    ['Injury by a sharp', seen.sharpsInjury],
    ['Broken skin beforehand', seen.brokenSkinBefore],
  ];
  blocks.push(
    heading('What was seen on the body'),
    pairs([
      ...seenRows.map(([question, answer]) => [question, TERNARY_WORDS[answer]] as const),
      [
        'Where',
        seen.zones.length > 0 ? seen.zones.map((zone) => ZONE_WORDS[zone].toLowerCase()).join(', ') : 'not known',
      ],
    ]),
  );

  const further = Object.entries(content.facts);
  if (further.length > 0)
    blocks.push(
      heading('Further answers'),
      table(further.map(([fact, answer]) => [questionWords(letter, fact), quantityWords(letter, fact, answer)])),
    );

  blocks.push(heading('The account, as it was told'));
  blocks.push(
    ...(account
      ? paragraphsOf(account).map((text): Block => ({ kind: 'paragraph', text, tone: 'quoted' }))
      : [{ kind: 'paragraph', text: 'No account was given in words.' } as const]),
  );
  return blocks;
}

function barrier(letter: ReferralLetter, sources: SourceList, measure?: Measure): Block[] {
  const { ensemble, barrier: picture } = letter;
  return [
    heading('The barrier that was left'),
    picture.reasons.length > 0
      ? { kind: 'list', items: picture.reasons }
      : { kind: 'paragraph', text: 'No route was derived.' },
    heading('Routes that were open'),
    pairs(
      Object.entries(ROUTE_WORDS).map(([route, words]) => [
        words,
        TERNARY_WORDS[picture.routes[route as keyof typeof ROUTE_WORDS]],
      ]),
    ),
    {
      kind: 'barrier',
      key: DRAWING_KEY,
      drawing: drawBarrier(picture, ensemble, { width: DRAWING_WIDTH, ...(measure && { measure }) }),
    },
    {
      kind: 'paragraph',
      tone: 'quiet',
      text: `Ensemble: ${ensemble.name} (${ensemble.id}, version ${ensemble.version}); ${GRADE_WORDS[ensemble.grade]}${ensemble.needsLocalConfirmation ? ', needs local confirmation' : ''}.${sources.refer(ensemble.sources)}`,
    },
  ];
}

function assessment(letter: ReferralLetter, sources: SourceList): Block[] {
  const { assessment: result } = letter;
  const { explanation } = result;
  const blocks: Block[] = [
    heading('Assessment by the published table'),
    table([
      ['Category', `${quoted(result.category)}, in the authority’s words (${result.categoryId}).`],
      ['Level', levelWords(result.level)],
      [
        'Settled',
        result.settled
          ? 'Yes: no open answer could change the category.'
          : `No: this is the worst category still possible. Possible: ${result.reachable.map(quoted).join(', ')}.`,
      ],
      ['Table', `${result.table}, version ${result.version}`],
      ['Table’s hash', result.hash],
      [
        'Rule',
        result.rule
          ? `${result.rule}${explanation.row ? ` (${explanation.row})` : ''}`
          : 'no single rule while answers are open',
      ],
      ['Rests on', `${gradeWords(result.grade)}.${sources.refer(result.sources)}`],
    ]),
  ];
  if (explanation.words)
    blocks.push(...paragraphsOf(explanation.words).map((text): Block => ({ kind: 'paragraph', text })));
  if (explanation.adjustments.length > 0)
    blocks.push({ kind: 'list', items: explanation.adjustments.map(({ id, words }) => `Raised by ${id}: ${words}`) });
  const used = Object.entries(explanation.factsUsed);
  if (used.length > 0)
    blocks.push(heading('Facts that were used'), {
      kind: 'table',
      columns: ['Fact', 'Answer'],
      shares: [65, 35],
      rows: used.map(([fact, answer]) => [questionWords(letter, fact), valueWords(letter, fact, answer)]),
    });
  const { nearestChange } = explanation;
  if (nearestChange)
    blocks.push({
      kind: 'paragraph',
      text: `Nearest change: it would be ${quoted(nearestChange.category)} if ${nearestChange.changes
        .map(
          ({ fact, from, to }) =>
            `“${questionWords(letter, fact)}” were ${valueWords(letter, fact, to)} and not ${valueWords(letter, fact, from)}`,
        )
        .join(', and ')}.`,
    });
  if (result.actions.length > 0)
    blocks.push(heading('What the authority asks for'), {
      kind: 'list',
      items: result.actions.map(
        ({ words, grade, sources: cited }) => `${words} (${gradeWords(grade)})${sources.refer(cited)}`,
      ),
    });
  return blocks;
}

function stillOpen(letter: ReferralLetter): Block[] {
  const { openQuestions } = letter.assessment;
  const blocks: Block[] = [heading('What is not known, and what it could change')];
  if (openQuestions.length === 0) {
    blocks.push({ kind: 'paragraph', text: 'No open answer could change the category.' });
    return blocks;
  }
  blocks.push(
    {
      kind: 'paragraph',
      text: 'What is not known is never read as “no”: the worse is assumed until it is answered. Best asked in this order.',
    },
    {
      kind: 'table',
      columns: ['Question', 'What would still be possible after each answer'],
      shares: [40, 60],
      rows: openQuestions.map((question) => [
        `${questionWords(letter, question.fact)}${question.settlesAlone ? ' (this answer alone settles it)' : ''}`,
        answersWords(letter, question),
      ]),
    },
  );
  return blocks;
}

/** Answers that leave the same categories are named together; the longest such list is said last, as all the others. */
function answersWords(letter: ReferralLetter, question: OpenQuestion): string {
  const grouped = new Map<string, string[]>();
  for (const value of question.values) {
    const leaves = (question.leaves[value] ?? []).map(quoted).join(' or ') || 'not computed';
    grouped.set(leaves, [...(grouped.get(leaves) ?? []), valueWords(letter, question.fact, value)]);
  }
  const groups = [...grouped].sort(([, a], [, b]) => a.length - b.length);
  const [, longest = []] = groups.at(-1) ?? [];
  return groups
    .map(([leaves, values]) => {
      const others = values === longest && values.length > 2;
      const named = groups.length > 1 ? 'any other answer' : 'every answer';
      return `${others ? named : values.join(' or ')}: ${leaves}`;
    })
    .join('\n');
}

function determination({ determination: decided, content }: ReferralLetter): Block[] {
  if (!decided)
    return [
      heading('Determination'),
      {
        kind: 'paragraph',
        text: 'Occupational health has not decided yet. Until then the plan follows the interim category.',
      },
    ];
  return [
    heading('Determination'),
    table([
      ['Category', quoted(decided.category)],
      ['Against the assessment', decided.departs ? 'departs from it' : 'confirms it'],
      ['Reason', decided.reason || (decided.departs ? 'not given' : 'none needed')],
      ['Signed by', decided.signedBy],
      ...(decided.secondClinician ? [['Second clinician', decided.secondClinician] as const] : []),
      ['At', momentWords(decided.at, content.occurred.timeZone)],
    ]),
  ];
}

function plan({ plan: running }: ReferralLetter, sources: SourceList): Block[] {
  if (!running)
    return [heading('Follow-up plan'), { kind: 'paragraph', text: 'No plan is running for this incident.' }];
  return [
    heading('Follow-up plan'),
    table([
      ['Day 0', `${dateWords(running.dayZero)}, the local date in ${running.timeZone}`],
      ['Ends', `at the end of ${dateWords(running.lastDay)}, local date; the last reading is that evening’s`],
      ['Regime', regimeWords(running.regime)],
      ['Window rests on', `${gradeWords(running.windowGrade)}.${sources.refer([running.windowSource])}`],
    ]),
    running.restrictions.length > 0
      ? { kind: 'list', items: running.restrictions }
      : { kind: 'paragraph', text: 'No restriction of work or movement.' },
  ];
}

function firstAid({ content, adviceGiven }: ReferralLetter): Block[] {
  const { timeZone } = content.occurred;
  return [
    heading('First aid done'),
    content.firstAid.length > 0
      ? {
          kind: 'list',
          items: content.firstAid.map(({ action, at }) =>
            action === 'none-yet'
              ? FIRST_AID_WORDS[action]
              : `${FIRST_AID_WORDS[action]}, ${at ? momentWords(at, timeZone) : 'time not known'}`,
          ),
        }
      : { kind: 'paragraph', text: 'Not known: nothing was reported.' },
    heading('Advice given with the report'),
    adviceGiven.length > 0
      ? { kind: 'list', items: adviceGiven }
      : { kind: 'paragraph', text: 'No advice is on record.' },
  ];
}

/** Said rather than left out, so that a reader does not take silence for "none". */
function notHeld(): Block[] {
  return [
    heading('What this letter does not hold'),
    {
      kind: 'paragraph',
      text: 'The source patient’s test results, the wearer’s immunity and vaccination record, medicines, allergies, pregnancy and immune status are not in this record. Please ask the wearer in private, and the source’s clinicians through the usual route.',
    },
    {
      kind: 'paragraph',
      text: 'Purpose: to let occupational health assess this exposure and decide on follow-up. It goes to occupational health and to nobody else; the manager is told only what work is permitted and until when. Should the wearer refuse follow-up, please record the refusal and the advice given.',
    },
  ];
}

function cautions({ assessment: result }: ReferralLetter): Block[] {
  return [
    heading('Cautions'),
    {
      kind: 'list',
      items: [
        ...result.cautions,
        'Made from a report and a published table, without examination. It supports a clinician’s decision and does not replace it.',
        'Local occupational health policy and the authority’s current text come first. The levels are for sorting only.',
      ],
    },
  ];
}

function sourceBlocks(sources: SourceList): Block[] {
  const items = sources.list();
  return items.length > 0 ? [heading('Sources'), { kind: 'list', items, numbered: true }] : [];
}

function signing({ signature, content }: ReferralLetter): Block[] {
  const blocks: Block[] = [heading('Signature')];
  if (signature)
    blocks.push(
      table([
        ['Signed by', signature.name],
        ['At', momentWords(signature.at, content.occurred.timeZone)],
      ]),
    );
  else
    blocks.push(
      { kind: 'paragraph', text: 'Draft, not signed.', tone: 'strong' },
      {
        kind: 'tick',
        lines: [
          'The wearer has been shown this letter',
          'The wearer agrees to its being sent',
          'The wearer has been offered a copy',
        ],
      },
      { kind: 'fill-in', lines: ['Signature', 'Name in print and profession', 'Date, time and telephone'] },
    );
  return blocks;
}

function identity(letter: ReferralLetter, contentHash: string): Block[] {
  return [
    heading('This letter'),
    table([
      ['Letter', letter.letterId],
      ['Incident', `${letter.incidentId}, revision ${letter.revision}`],
      ['Content hash', contentHash],
    ]),
    {
      kind: 'paragraph',
      tone: 'quiet',
      text: 'The hash is SHA-256 over the letter’s content without its signature, so a draft and its signed letter carry the same one.',
    },
  ];
}

function heading(text: string): Block {
  return { kind: 'heading', level: 2, text };
}

function table(rows: readonly (readonly string[])[]): Block {
  return { kind: 'table', columns: null, rows, shares: TWO_COLUMNS };
}

function pairs(answers: readonly (readonly [string, string])[]): Block {
  return { kind: 'pairs', pairs: answers };
}

function given(parts: readonly (string | null)[]): string {
  return parts.filter((part) => part?.trim()).join(', ') || NOT_GIVEN;
}

function telephone(number: string): string | null {
  return number ? `telephone ${number}` : null;
}

function quoted(words: string): string {
  return `“${words}”`;
}

function gradeWords(grade: EvidenceGrade): string {
  return GRADE_WORDS[grade];
}

function paragraphsOf(text: string): string[] {
  return text.split(/\r?\n/).filter((paragraph) => paragraph.trim() !== '');
}

function questionWords(letter: ReferralLetter, fact: string): string {
  return letter.factWords?.[fact]?.question ?? factWords(fact);
}

function valueWords(letter: ReferralLetter, fact: string, value: string): string {
  return letter.factWords?.[fact]?.values?.[value] ?? answerWords(value);
}

function quantityWords(
  letter: ReferralLetter,
  fact: string,
  answer: ReferralLetter['content']['facts'][string],
): string {
  if (answer === null) return 'not known';
  if (typeof answer === 'string') return valueWords(letter, fact, answer);
  if (typeof answer === 'number') return String(answer);
  return (
    [
      answer.min === undefined ? null : `at least ${answer.min}`,
      answer.max === undefined ? null : `at most ${answer.max}`,
    ]
      .filter((part) => part !== null)
      .join(', ') || 'not known'
  );
}
