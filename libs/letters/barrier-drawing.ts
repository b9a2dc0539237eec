import type { BarrierPicture, Ensemble, LayerState, Ternary, Zone, ZonePicture } from '#domain';
import { LAYER_STATE_WORDS, TERNARY_WORDS, ZONE_WORDS } from './words.js';

/**
 * The layer drawing: the body's zones, each with the ensemble as nested lines around it and the skin as the innermost.
 * Geometry only, in points from the top left, so that a page and a letter draw the same picture. What a line means is said
 * by its pattern and by words beside it, never by a colour.
 */
export interface BarrierDrawing {
  readonly width: number;
  readonly height: number;
  /** The pale body behind the lines; without meaning. */
  readonly shade: readonly { readonly path: string; readonly strokeWidth: number | null }[];
  readonly lines: readonly DrawnLine[];
  readonly marks: readonly DrawnText[];
  readonly labels: readonly DrawnLabel[];
  /** The picture in one short sentence or two; the labels say the rest. */
  readonly alternative: string;
}

export interface DrawnLine {
  /** SVG path data. */
  readonly path: string;
  readonly means: 'skin' | 'leader' | 'way-in' | Exclude<LayerState, 'off' | 'not-on-yet'>;
  readonly strokeWidth: number;
  /** Lengths drawn and left out in turn; empty for a solid line. */
  readonly dash: readonly number[];
  readonly dashOffset: number;
  readonly roundEnds: boolean;
}

export interface DrawnText {
  readonly text: string;
  readonly x: number;
  /** Of the base line. */
  readonly y: number;
  readonly size: number;
  readonly weight: 'regular' | 'bold';
}

/** One zone in words: its name, a line a layer with a sample of its pattern, and whether skin was reached. */
export interface DrawnLabel {
  readonly zone: Zone;
  readonly heading: DrawnText;
  readonly rows: readonly { readonly sample: DrawnLine | null; readonly lines: readonly DrawnText[] }[];
  readonly reached: readonly DrawnText[];
}

export type Measure = (text: string, size: number, weight: 'regular' | 'bold') => number;

interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
  readonly radius: number;
}

interface ZonePlace {
  readonly zone: Zone;
  /** On which side the words stand. */
  readonly side: 'left' | 'right';
  /** Where the pattern of a total breach opens. */
  readonly opens: 'left' | 'right' | 'top';
  readonly skin: readonly Box[];
  /** How far the outermost line may lie from the skin. */
  readonly room: number;
  /** Where the line to the words ends, as a share of the height. */
  readonly anchor?: number;
}

const BODY_WIDTH = 220;
const BODY_HEIGHT = 342;

/** From the head down. Arms, legs and feet are drawn on both sides alike: a report does not tell left from right. */
const PLACES: readonly ZonePlace[] = [
  { zone: 'head', side: 'left', opens: 'top', room: 9, skin: [{ x: 62, y: 14, width: 96, height: 48, radius: 48 }] },
  { zone: 'face', side: 'left', opens: 'left', room: 6, skin: [{ x: 77, y: 42, width: 66, height: 68, radius: 26 }] },
  { zone: 'eyes', side: 'right', opens: 'right', room: 6, skin: [{ x: 88, y: 57, width: 44, height: 9, radius: 4.5 }] },
  {
    zone: 'mouthNose',
    side: 'right',
    opens: 'right',
    room: 6,
    skin: [{ x: 93, y: 85, width: 34, height: 11, radius: 5.5 }],
  },
  { zone: 'neck', side: 'left', opens: 'left', room: 8, skin: [{ x: 97, y: 125, width: 26, height: 11, radius: 4 }] },
  {
    zone: 'trunk',
    side: 'right',
    opens: 'right',
    room: 12,
    skin: [{ x: 82, y: 157, width: 56, height: 68, radius: 14 }],
    // Between forearm and hand, so that the line crosses neither.
    anchor: 0.8,
  },
  {
    zone: 'forearms',
    side: 'left',
    opens: 'left',
    room: 13,
    skin: [
      { x: 34, y: 164, width: 15, height: 38, radius: 7.5 },
      { x: 171, y: 164, width: 15, height: 38, radius: 7.5 },
    ],
  },
  {
    zone: 'hands',
    side: 'left',
    opens: 'left',
    room: 9,
    skin: [
      { x: 32, y: 231, width: 19, height: 21, radius: 9 },
      { x: 169, y: 231, width: 19, height: 21, radius: 9 },
    ],
  },
  {
    zone: 'legs',
    side: 'right',
    opens: 'right',
    room: 9,
    skin: [
      { x: 72, y: 251, width: 19, height: 42, radius: 8 },
      { x: 129, y: 251, width: 19, height: 42, radius: 8 },
    ],
  },
  {
    zone: 'feet',
    side: 'right',
    opens: 'right',
    room: 8,
    skin: [
      { x: 61, y: 318, width: 34, height: 11, radius: 5.5 },
      { x: 125, y: 318, width: 34, height: 11, radius: 5.5 },
    ],
  },
];

const SHADE: readonly { readonly path: string; readonly strokeWidth: number | null }[] = [
  { path: 'M 66 62 A 44 44 0 0 1 154 62 L 154 76 A 44 42 0 0 1 66 76 Z', strokeWidth: null },
  { path: 'M 97 112 L 123 112 L 126 146 L 94 146 Z', strokeWidth: null },
  {
    path: 'M 92 142 L 128 142 A 22 22 0 0 1 148 164 L 146 240 L 74 240 L 72 164 A 22 22 0 0 1 92 142 Z',
    strokeWidth: null,
  },
  { path: 'M 88 156 L 56 160 L 42 178 L 42 240', strokeWidth: 26 },
  { path: 'M 132 156 L 164 160 L 178 178 L 178 240', strokeWidth: 26 },
  { path: 'M 92 234 L 81 258 L 81 318', strokeWidth: 28 },
  { path: 'M 128 234 L 139 258 L 139 318', strokeWidth: 28 },
];

const LAYER_GAP = 3.6;
const OPENING = 11;
const LABEL_SIZE = 8.5;
const LABEL_LEADING = 10.5;
const SAMPLE_WIDTH = 18;
const SPACE_BETWEEN_LABELS = 7;

/** About half an em a character: for a page that has no font to measure with. */
const roughly: Measure = (text, size) => text.length * size * 0.5;

/**
 * Draws a barrier picture into `width` points.
 *
 * @example drawBarrier(assessment.barrier, ensemble, { width: 487 }).lines
 */
export function drawBarrier(
  picture: BarrierPicture,
  ensemble: Ensemble,
  options: { readonly width: number; readonly measure?: Measure },
): BarrierDrawing {
  const measure = options.measure ?? roughly;
  const names = new Map(ensemble.layers.map(({ id, name }) => [id, name]));
  const zones = new Map(picture.zones.map((zone) => [zone.zone, zone]));
  const column = (options.width - BODY_WIDTH) / 2 - 6;
  const lines: DrawnLine[] = [];
  const marks: DrawnText[] = [];
  const labels: DrawnLabel[] = [];
  const bottoms = { left: 0, right: 0 };
  const bodyLeft = (options.width - BODY_WIDTH) / 2;

  for (const place of PLACES) {
    const zone = zones.get(place.zone);
    if (!zone) continue;
    const { outer } = nest(place, zone, bodyLeft, lines, marks);
    const anchorAt = outer.y + outer.height * (place.anchor ?? 0.5);
    const label = labelOf(place, zone, names, {
      x: place.side === 'left' ? 0 : options.width - column,
      top: Math.max(bottoms[place.side], anchorAt - LABEL_LEADING - 6),
      width: column,
      measure,
    });
    labels.push(label.drawn);
    bottoms[place.side] = label.bottom + SPACE_BETWEEN_LABELS;
    const from = place.side === 'left' ? column : options.width - column - 4;
    const to = place.side === 'left' ? outer.x - 1.5 : outer.x + outer.width + 1.5;
    lines.push(leader(from, label.drawn.heading.y - 3, to, anchorAt));
  }

  return {
    width: options.width,
    height: Math.max(BODY_HEIGHT, bottoms.left, bottoms.right),
    shade: SHADE.map(({ path, strokeWidth }) => ({ path: shift(path, bodyLeft), strokeWidth })),
    lines,
    marks,
    labels,
    alternative: alternativeOf(picture, names),
  };
}

/** The nested lines of one zone, innermost first; the place of a layer that is off stays empty. */
function nest(
  place: ZonePlace,
  zone: ZonePicture,
  bodyLeft: number,
  lines: DrawnLine[],
  marks: DrawnText[],
): { outer: Box } {
  const gap = Math.min(LAYER_GAP, place.room / Math.max(1, zone.layers.length));
  const widest = gap * zone.layers.length;
  let anchor: Box | undefined;
  place.skin.forEach((skin, index) => {
    const mirrored = index === 1;
    const opens = mirrored && place.opens !== 'top' ? opposite(place.opens) : place.opens;
    const box = { ...skin, x: skin.x + bodyLeft };
    lines.push(styled(outline(place.zone, box, opens), 'skin'));
    [...zone.layers].reverse().forEach(({ state }, order) => {
      if (state === 'off' || state === 'not-on-yet') return;
      lines.push(styled(outline(place.zone, grown(box, gap * (order + 1)), opens), state));
    });
    const outer = grown(box, widest);
    wayIn(zone.reached, outer, box, opens, lines, marks);
    const nearer =
      place.side === 'right'
        ? outer.x + outer.width > (anchor ? anchor.x + anchor.width : 0)
        : outer.x < (anchor?.x ?? Infinity);
    if (nearer) anchor = outer;
  });
  return { outer: anchor ?? { x: 0, y: 0, width: 0, height: 0, radius: 0 } };
}

function opposite(side: 'left' | 'right'): 'left' | 'right' {
  return side === 'left' ? 'right' : 'left';
}

function grown(box: Box, by: number): Box {
  return {
    x: box.x - by,
    y: box.y - by,
    width: box.width + 2 * by,
    height: box.height + 2 * by,
    radius: box.radius + by,
  };
}

interface Outline {
  readonly path: string;
  readonly length: number;
  /** How far along the path its opening lies. */
  readonly opening: number;
}

function outline(zone: Zone, box: Box, opens: 'left' | 'right' | 'top'): Outline {
  return zone === 'head' ? dome(box) : roundedBox(box, opens === 'left' ? 'left' : 'right');
}

/** Over the top of the head from ear to ear; the opening is at the crown. */
function dome(box: Box): Outline {
  const radius = box.width / 2;
  const base = box.y + radius;
  const length = Math.PI * radius;
  const path = `M ${n(box.x)} ${n(base)} A ${n(radius)} ${n(radius)} 0 0 1 ${n(box.x + box.width)} ${n(base)}`;
  return { path, length, opening: length / 2 };
}

/** A closed box that begins in the middle of the side on which it may open. */
function roundedBox(box: Box, begins: 'left' | 'right'): Outline {
  const radius = Math.min(box.radius, box.width / 2, box.height / 2);
  const { x, y } = box;
  const right = x + box.width;
  const bottom = y + box.height;
  const middle = y + box.height / 2;
  const arc = `A ${n(radius)} ${n(radius)} 0 0 1`;
  const corners =
    begins === 'right'
      ? [
          `M ${n(right)} ${n(middle)}`,
          `L ${n(right)} ${n(bottom - radius)} ${arc} ${n(right - radius)} ${n(bottom)}`,
          `L ${n(x + radius)} ${n(bottom)} ${arc} ${n(x)} ${n(bottom - radius)}`,
          `L ${n(x)} ${n(y + radius)} ${arc} ${n(x + radius)} ${n(y)}`,
          `L ${n(right - radius)} ${n(y)} ${arc} ${n(right)} ${n(y + radius)}`,
        ]
      : [
          `M ${n(x)} ${n(middle)}`,
          `L ${n(x)} ${n(y + radius)} ${arc} ${n(x + radius)} ${n(y)}`,
          `L ${n(right - radius)} ${n(y)} ${arc} ${n(right)} ${n(y + radius)}`,
          `L ${n(right)} ${n(bottom - radius)} ${arc} ${n(right - radius)} ${n(bottom)}`,
          `L ${n(x + radius)} ${n(bottom)} ${arc} ${n(x)} ${n(bottom - radius)}`,
        ];
  const length = 2 * (box.width - 2 * radius) + 2 * (box.height - 2 * radius) + 2 * Math.PI * radius;
  return { path: `${corners.join(' ')} Z`, length, opening: 0 };
}

/** Intact solid, partial dashed, total with a gap, unknown dotted; the skin is the heaviest line. */
function styled(
  { path, length, opening }: Outline,
  means: 'skin' | Exclude<LayerState, 'off' | 'not-on-yet'>,
): DrawnLine {
  const solid = { path, means, strokeWidth: 1.1, dash: [], dashOffset: 0, roundEnds: false };
  if (means === 'skin') return { ...solid, strokeWidth: 2.2 };
  if (means === 'partial') return { ...solid, dash: [4.2, 2.8] };
  if (means === 'unknown') return { ...solid, strokeWidth: 1.3, dash: [0.1, 2.6], roundEnds: true };
  if (means === 'total') {
    const drawn = Math.max(1, length - OPENING);
    return { ...solid, dash: [drawn, OPENING], dashOffset: (drawn + OPENING / 2 - opening + length) % length };
  }
  return solid;
}

/** An arrow to the skin where it was reached, a question mark where that is not known. */
function wayIn(
  reached: Ternary,
  outer: Box,
  skin: Box,
  opens: 'left' | 'right' | 'top',
  lines: DrawnLine[],
  marks: DrawnText[],
): void {
  if (reached === 'no') return;
  const middle = outer.y + outer.height / 2;
  const mark = (x: number, y: number) => marks.push({ text: '?', x, y, size: 10, weight: 'bold' });
  const arrow = (path: string) =>
    lines.push({ path, means: 'way-in', strokeWidth: 1.4, dash: [], dashOffset: 0, roundEnds: true });
  if (opens === 'top') {
    const x = outer.x + outer.width / 2;
    if (reached === 'unknown') mark(x - 2.6, outer.y - 2);
    else
      arrow(
        `M ${n(x)} ${n(outer.y - 10)} L ${n(x)} ${n(skin.y - 2)} M ${n(x - 2.6)} ${n(skin.y - 5.5)} L ${n(x)} ${n(skin.y - 2)} L ${n(x + 2.6)} ${n(skin.y - 5.5)}`,
      );
    return;
  }
  const sign = opens === 'left' ? -1 : 1;
  const edge = opens === 'left' ? outer.x : outer.x + outer.width;
  const target = (opens === 'left' ? skin.x : skin.x + skin.width) + sign * 2;
  if (reached === 'unknown') {
    mark(opens === 'left' ? edge - 8 : edge + 2.6, middle + 3.6);
    return;
  }
  const tail = edge + sign * 10;
  const barb = target + sign * 3.5;
  arrow(
    `M ${n(tail)} ${n(middle)} L ${n(target)} ${n(middle)} M ${n(barb)} ${n(middle - 2.6)} L ${n(target)} ${n(middle)} L ${n(barb)} ${n(middle + 2.6)}`,
  );
}

/** From the words along a level stroke, then slanting to the zone. */
function leader(fromX: number, fromY: number, toX: number, toY: number): DrawnLine {
  const bend = fromX + Math.sign(toX - fromX) * 6;
  const path = `M ${n(fromX)} ${n(fromY)} L ${n(bend)} ${n(fromY)} L ${n(toX)} ${n(toY)}`;
  return { path, means: 'leader', strokeWidth: 0.4, dash: [], dashOffset: 0, roundEnds: false };
}

function labelOf(
  place: ZonePlace,
  zone: ZonePicture,
  names: ReadonlyMap<string, string>,
  at: { readonly x: number; readonly top: number; readonly width: number; readonly measure: Measure },
): { drawn: DrawnLabel; bottom: number } {
  let y = at.top + LABEL_LEADING;
  const heading: DrawnText = { text: ZONE_WORDS[place.zone], x: at.x, y, size: LABEL_SIZE + 0.5, weight: 'bold' };
  const say = (text: string, indent: number): DrawnText[] =>
    wrapped(text, at.width - indent, LABEL_SIZE, at.measure).map((line) => {
      y += LABEL_LEADING;
      return { text: line, x: at.x + indent, y, size: LABEL_SIZE, weight: 'regular' };
    });
  const rows = zone.layers.map(({ layer, state }) => {
    const sampleY = y + LABEL_LEADING - 3;
    const sample: Outline = {
      path: `M ${n(at.x)} ${n(sampleY)} L ${n(at.x + SAMPLE_WIDTH)} ${n(sampleY)}`,
      length: SAMPLE_WIDTH,
      opening: SAMPLE_WIDTH / 2,
    };
    return {
      sample: state === 'off' || state === 'not-on-yet' ? null : styled(sample, state),
      lines: say(`${names.get(layer) ?? layer}: ${LAYER_STATE_WORDS[state]}`, SAMPLE_WIDTH + 5),
    };
  });
  if (zone.layers.length === 0)
    rows.push({ sample: null, lines: say('No layer of this ensemble covers it', SAMPLE_WIDTH + 5) });
  const reached = say(`Reached: ${TERNARY_WORDS[zone.reached]}`, 0);
  return { drawn: { zone: place.zone, heading, rows, reached }, bottom: y };
}

/** Breaks at blanks, and inside a word that is wider than the column. */
function wrapped(text: string, width: number, size: number, measure: Measure): string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(/\s+/).filter((part) => part !== '')) {
    const longer = line ? `${line} ${word}` : word;
    if (measure(longer, size, 'regular') <= width) {
      line = longer;
      continue;
    }
    if (line) lines.push(line);
    line = '';
    for (const character of word) {
      if (line && measure(line + character, size, 'regular') > width) {
        lines.push(line);
        line = '';
      }
      line += character;
    }
  }
  lines.push(line);
  return lines;
}

function alternativeOf(picture: BarrierPicture, names: ReadonlyMap<string, string>): string {
  const failed = new Map<string, LayerState>();
  for (const { layers } of picture.zones)
    for (const { layer, state } of layers) if (state === 'partial' || state === 'total') failed.set(layer, state);
  const breaches = [...names.keys(), ...failed.keys()]
    .filter((layer, index, all) => failed.has(layer) && all.indexOf(layer) === index)
    .map((layer) => `${names.get(layer) ?? layer}, ${LAYER_STATE_WORDS[failed.get(layer) ?? 'unknown']}`);
  const where = (reached: Ternary) =>
    picture.zones.filter((zone) => zone.reached === reached).map(({ zone }) => ZONE_WORDS[zone].toLowerCase());
  const listed = (zones: readonly string[]) => (zones.length > 0 ? zones.join(', ') : 'none');
  return [
    'Body outline with the layers as nested lines around each zone.',
    breaches.length > 0 ? `Breached: ${breaches.join('; ')}.` : 'No layer is drawn as breached.',
    `Reached: ${listed(where('yes'))}. Not known whether reached: ${listed(where('unknown'))}.`,
    'The words for each zone follow.',
  ].join(' ');
}

/** Moves the x coordinates of an absolute path of M, L, A and Z. */
function shift(path: string, by: number): string {
  let argument = 0;
  let arc = false;
  return path
    .split(' ')
    .map((token) => {
      if (/^[MLAZ]$/.test(token)) {
        arc = token === 'A';
        argument = 0;
        return token;
      }
      const isX = arc ? argument === 5 : argument % 2 === 0;
      argument += 1;
      return isX ? n(Number(token) + by) : token;
    })
    .join(' ');
}

/** Two decimals: enough for print, and the same on every machine. */
function n(value: number): string {
  return String(Math.round(value * 100) / 100);
}
