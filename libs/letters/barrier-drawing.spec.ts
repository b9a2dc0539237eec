import { describe, expect, it } from '@jest/globals';
import type { BarrierPicture, LayerState, Ternary, Zone } from '#domain';
import { exampleEnsemble } from '../../tests/support/referral-letter.js';
import { drawBarrier, type DrawnLine } from './barrier-drawing.js';

const pictureOf = (
  zone: Zone,
  layers: readonly (readonly [string, LayerState])[],
  reached: Ternary = 'no',
): BarrierPicture => ({
  ensemble: 'example-ensemble@1',
  zones: [{ zone, layers: layers.map(([layer, state]) => ({ layer, state })), reached }],
  routes: {
    percutaneous: 'no',
    mucosaEye: 'no',
    mucosaMouthNose: 'no',
    brokenSkin: 'no',
    intactSkin: 'no',
    inhalation: 'no',
    clothingOnly: 'no',
  },
  reasons: [],
});
const draw = (picture: BarrierPicture) => drawBarrier(picture, exampleEnsemble, { width: 487 });
const meaning = (lines: readonly DrawnLine[], means: DrawnLine['means']) =>
  lines.filter((line) => line.means === means);
const topOf = ({ path }: DrawnLine) =>
  Math.min(...[...path.matchAll(/[ML] [\d.-]+ ([\d.-]+)/g)].map(([, y]) => Number(y)));

describe('the layer drawing', () => {
  it('draws an intact layer as a solid line', () => {
    const [line] = meaning(draw(pictureOf('trunk', [['gown', 'intact']])).lines, 'intact');
    expect(line?.dash).toEqual([]);
  });

  it('draws a partial breach dashed, and what is not known dotted', () => {
    const { lines } = draw(
      pictureOf('trunk', [
        ['apron', 'partial'],
        ['gown', 'unknown'],
      ]),
    );
    const [partial] = meaning(lines, 'partial');
    const [unknown] = meaning(lines, 'unknown');
    expect(partial?.dash[0]).toBeGreaterThan(3);
    expect(unknown?.dash[0]).toBeLessThan(1);
    expect(unknown?.roundEnds).toBe(true);
  });

  it('draws a total breach as one line with one gap', () => {
    const [line] = meaning(draw(pictureOf('trunk', [['gown', 'total']])).lines, 'total');
    const [drawn = 0, gap = 0] = line?.dash ?? [];
    expect(gap).toBeGreaterThan(5);
    expect(drawn).toBeGreaterThan(10 * gap);
  });

  it.each(['off', 'not-on-yet'] as const)('leaves out a layer that is %s, and keeps its place empty', (state) => {
    const { lines } = draw(
      pictureOf('trunk', [
        ['apron', 'intact'],
        ['gown', state],
      ]),
    );
    const without = draw(pictureOf('trunk', [['apron', 'intact']]));
    const [kept] = meaning(lines, 'intact');
    const [closer] = meaning(without.lines, 'intact');
    expect(meaning(lines, 'intact')).toHaveLength(1);
    expect(kept && closer && topOf(kept) < topOf(closer)).toBe(true);
  });

  it('has the skin innermost and heaviest, and the first layer outermost', () => {
    const { lines } = draw(
      pictureOf('trunk', [
        ['apron', 'intact'],
        ['gown', 'partial'],
      ]),
    );
    const [skin] = meaning(lines, 'skin');
    const [outer] = meaning(lines, 'intact');
    const [inner] = meaning(lines, 'partial');
    if (!skin || !outer || !inner) throw new Error('a line is missing');
    expect(topOf(outer)).toBeLessThan(topOf(inner));
    expect(topOf(inner)).toBeLessThan(topOf(skin));
    expect(skin.strokeWidth).toBeGreaterThan(outer.strokeWidth);
  });

  it.each([
    ['yes', 1, 0],
    ['unknown', 0, 1],
    ['no', 0, 0],
  ] as const)('shows that skin was reached: %s', (reached, arrows, questions) => {
    const { lines, marks } = draw(pictureOf('trunk', [['gown', 'total']], reached));
    expect(meaning(lines, 'way-in')).toHaveLength(arrows);
    expect(marks.filter(({ text }) => text === '?')).toHaveLength(questions);
  });

  it('says every layer and its state in words beside the picture', () => {
    const { labels } = draw(
      pictureOf(
        'hands',
        [
          ['outer-gloves', 'off'],
          ['inner-gloves', 'total'],
        ],
        'yes',
      ),
    );
    const words = labels.flatMap(({ heading, rows, reached }) => [
      heading,
      ...rows.flatMap(({ lines }) => lines),
      ...reached,
    ]);
    const said = words.map(({ text }) => text).join(' ');
    expect(said).toBe('Hands Outer nitrile gloves: already off Inner nitrile gloves: total breach Reached: yes');
  });

  it('keeps many layers within the room that a zone has', () => {
    const many = Array.from({ length: 12 }, () => ['gown', 'intact'] as const);
    const tops = meaning(draw(pictureOf('legs', many)).lines, 'intact').map(topOf);
    const skinTop = Math.min(...meaning(draw(pictureOf('legs', [])).lines, 'skin').map(topOf));
    expect(skinTop - Math.min(...tops)).toBeLessThan(12);
  });

  it('grows below the body when the words need it, and wraps names of any length', () => {
    const ensemble = {
      ...exampleEnsemble,
      layers: exampleEnsemble.layers.map((layer) => ({ ...layer, name: 'Layer '.repeat(60) })),
    };
    const picture = pictureOf('hands', [
      ['outer-gloves', 'intact'],
      ['inner-gloves', 'intact'],
    ]);
    const drawing = drawBarrier(picture, ensemble, { width: 487 });
    const lowest = Math.max(
      ...drawing.labels.flatMap(({ rows }) => rows.flatMap(({ lines }) => lines.map(({ y }) => y))),
    );
    expect(drawing.height).toBeGreaterThanOrEqual(lowest);
    expect(drawing.height).toBeGreaterThan(draw(picture).height);
  });

  it('says a layer that the ensemble lacks by its id, and a zone that no layer covers', () => {
    const said = (picture: BarrierPicture) => JSON.stringify(draw(picture).labels);
    expect(said(pictureOf('feet', [['overboots', 'intact']]))).toContain('overboots: intact');
    expect(said(pictureOf('feet', []))).toContain('No layer of this');
  });

  it('is plain data and the same every time', () => {
    const picture = pictureOf('forearms', [['apron', 'partial']], 'unknown');
    expect(JSON.parse(JSON.stringify(draw(picture)))).toEqual(draw(picture));
  });
});
