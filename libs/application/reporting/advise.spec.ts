import { describe, expect, it } from '@jest/globals';
import { aHospital, NOTHING_REACHED, reported, theRulebook } from '../testing/hospital.fixture.js';
import type { ReportIncidentCommand } from './report-incident.js';
import type { Advice } from './advise.js';

async function adviceFor(changes: Partial<ReportIncidentCommand>): Promise<Advice> {
  return (await reported(aHospital(), changes)).advice;
}

const stepsOf = ({ removal }: Advice) => removal.steps.map(({ id }) => id);

describe('the advice after a report', () => {
  it('opens with the emergency route and whom to telephone', async () => {
    const advice = await adviceFor({});

    expect(Object.keys(advice)).toEqual(['emergency', 'telephones', 'firstAid', 'removal', 'untilAsked', 'cautions']);
    expect(advice.emergency).toEqual({ words: 'Call the hospital emergency team', telephone: '2222' });
    expect(advice.telephones).toEqual([
      { who: 'Occupational health', telephone: '020 7946 0100' },
      { who: 'On-call clinician, at any hour', telephone: '020 7946 0199' },
    ]);
  });

  it('lists the whole removal during care, with the rule for it, and marks the layer that failed', async () => {
    const { removal } = await adviceFor({ stage: 'patient-care' });

    expect(removal.steps[0]).toMatchObject({ id: 'take-off-outer-gloves', breached: true });
    expect(removal.steps.filter(({ breached }) => breached)).toHaveLength(1);
    expect(removal.steps.at(-1)?.id).toBe('wash-hands');
    expect(removal.rule[0]).toBe('Stop. Nothing is altered in the patient area.');
  });

  it('lists what is left from the step that was being done, with the rule of the removal stage', async () => {
    const advice = await adviceFor({
      stage: 'removal',
      step: 'take-off-respirator',
      breaches: [{ layer: 'hood', extent: 'total' }],
    });

    expect(stepsOf(advice)).toEqual([
      'take-off-respirator',
      'take-off-hood',
      'take-off-footwear-covers',
      'take-off-inner-gloves',
      'wash-hands',
    ]);
    expect(advice.removal.rule).toEqual([
      'Stop.',
      'Say it. The buddy says aloud which layer failed.',
      'Disinfect the gloved hands.',
      'Go on slowly, step by step.',
      'Have the risk assessed once everything is off and first aid is done.',
    ]);
    expect(advice.removal.steps.find(({ breached }) => breached)?.id).toBe('take-off-hood');
  });

  it('lists the whole sequence, and says why, when nobody knows which step was reached', async () => {
    const advice = await adviceFor({ stage: 'removal', step: null });

    expect(stepsOf(advice)[0]).toBe('take-off-outer-gloves');
    expect(advice.cautions.join(' ')).toContain('The step that was reached is not known');
  });

  it('has no removal left after removal, and tells what to replace while putting on', async () => {
    const after = await adviceFor({ stage: 'after-removal' });
    expect(after.removal).toEqual({ rule: [], exceptions: [], steps: [], emergency: [] });

    const before = await adviceFor({
      stage: 'donning',
      kind: 'near-miss',
      breaches: [{ layer: 'inner-gloves', extent: 'total', manner: 'tear' }],
    });
    expect(before.removal.rule).toEqual(['An inner glove failed. Take off what is on and start again.']);
    expect(before.removal.steps).toEqual([]);
  });

  it('puts the exception for a sharp and for an eye before the sequence', async () => {
    const { removal, firstAid } = await adviceFor({ seen: { sharpsInjury: 'yes', eyeSplash: 'yes' } });

    expect(removal.exceptions.join(' ')).toMatch(/A sharp went in.*Something reached an eye/);
    expect(firstAid.map(({ code }) => code)).toEqual(expect.arrayContaining(['wash-puncture', 'irrigate-eye']));
  });

  it('says how to act until occupational health has asked, and what it will ask', async () => {
    const { untilAsked } = await adviceFor({});

    expect(untilAsked[0]?.words).toMatch(/^Treat this as an exposure until occupational health has asked: .*\?$/);
    expect(untilAsked.length).toBeGreaterThan(1);
    for (const { sources } of untilAsked) expect(sources.length).toBeGreaterThan(0);
  });

  it('keeps everybody off the next shift until occupational health has decided, and eases nothing before that', async () => {
    const { advice, assessment } = await reported(aHospital(), {
      ...NOTHING_REACHED,
      agent: 'sars-cov-2',
      breaches: [{ layer: 'visor', extent: 'partial', manner: 'displacement' }],
      foundWhole: ['outer-gloves', 'apron', 'gown', 'respirator', 'hood', 'footwear-covers', 'inner-gloves'],
      facts: {
        sourceMasked: 'yes',
        maskWorn: 'respirator',
        eyeProtectionWorn: 'no',
        gownAndGlovesWorn: 'yes',
        prolongedContact: 'yes',
        aerosolProcedure: 'no',
        secretionsUncontrolled: 'no',
        extensiveBodyContact: 'no',
        distanceMetres: '0.5',
        contactMinutes: '20',
      },
    });
    const said = advice.untilAsked.map(({ words }) => words);

    // The table's own action, once a nurse has signed.
    expect(assessment).toMatchObject({ category: 'Low', settled: true });
    expect(assessment?.actions.map(({ words }) => words)).toContain('No restriction on work.');
    expect(said).toContain('No shift until occupational health has decided.');
    expect(said.join(' ')).toContain('Self-monitoring with delegated supervision');
    expect(said.join(' ')).not.toMatch(/no restriction/i);
  });

  it('puts no vaccine, no order and no word to an authority into the first minutes, whatever the table says', async () => {
    for (const agent of ['ebola', 'mpox', 'unidentified-vhf']) {
      const { untilAsked } = await adviceFor({ agent });
      expect(untilAsked.map(({ words }) => words).join(' ')).not.toMatch(/vaccin|may be|delegate|order|case by case/i);
    }
  });

  it('asks for nothing after a near miss', async () => {
    expect((await adviceFor({ kind: 'near-miss', breaches: [] })).untilAsked).toEqual([]);
  });

  it('says that a person decides, and what is not confirmed or looked up', async () => {
    const { cautions } = await adviceFor({});

    expect(cautions[0]).toContain('A person in occupational health reads every report and decides.');
    expect(cautions.join(' ')).toContain('common practice and has to be confirmed by this site');
    expect(cautions.join(' ')).toContain('remembered and not looked up');
  });

  it('never names a category, whatever agent and answers', async () => {
    const spoken = (text: string) =>
      ` ${text
        .toLowerCase()
        .split(/[^\p{L}\p{N}]+/u)
        .join(' ')} `;
    for (const { code } of theRulebook().agents()) {
      for (const answers of [{}, NOTHING_REACHED, { seen: { sharpsInjury: 'yes' as const } }]) {
        const { assessment, advice } = await reported(aHospital(), { ...answers, agent: code });
        // What is read aloud; a source may have the category in its title.
        const text = [
          ...advice.firstAid.map(({ words }) => words),
          ...advice.removal.rule,
          ...advice.removal.exceptions,
          ...advice.untilAsked.map(({ words }) => words),
          ...advice.cautions,
        ].join(' ');

        expect(assessment?.category).toBeTruthy();
        for (const category of assessment?.reachable ?? []) {
          // “Low” and “high” alone are words of every day; the others are a category's own.
          if (category.includes(' ')) expect(spoken(text)).not.toContain(spoken(category));
        }
      }
    }
  });
});
