import type { Zone } from '../api.js';
import type { Round } from './outline.js';

/** Size of the drawing in its own units. */
export const PLAN = { width: 640, height: 1010 } as const;
const MIDDLE = PLAN.width / 2;

type Piece = readonly Round[];

function mirrored(piece: Piece): Piece {
  return piece.map(([x, y, radius]): Round => [2 * MIDDLE - x, y, radius]);
}

function both(pieces: readonly Piece[]): Piece[] {
  return [...pieces, ...pieces.map(mirrored)];
}

/** A zone as the pieces that make its skin; `centre` is where a gap in a layer points away from. */
export interface ZonePlan {
  readonly zone: Zone;
  readonly pieces: readonly Piece[];
  readonly centres: readonly (readonly [x: number, y: number])[];
  /** Where a gap opens, in degrees clockwise from upward. */
  readonly gapAt: number;
}

const HAND: readonly Piece[] = [
  [
    [92, 664, 24],
    [80, 694, 20],
    [110, 696, 18],
  ],
  [
    [68, 704, 9],
    [54, 752, 8],
  ],
  [
    [84, 712, 9],
    [78, 768, 8.5],
  ],
  [
    [101, 712, 9],
    [103, 764, 8.5],
  ],
  [
    [117, 704, 8.5],
    [126, 744, 8],
  ],
  [
    [112, 664, 11],
    [148, 704, 9],
  ],
];

/**
 * A figure of separate pieces, as a tailor lays out a pattern, with the head and the hands drawn large: they are where a
 * barrier fails and where a finger has to find it. Painted in this order, so that the face lies on the head.
 */
export const BODY_PLAN: readonly ZonePlan[] = [
  {
    zone: 'head',
    pieces: [
      [
        [320, 112, 84],
        [320, 158, 76],
      ],
    ],
    centres: [[320, 130]],
    gapAt: 310,
  },
  {
    zone: 'face',
    pieces: [
      [
        [320, 122, 55],
        [320, 170, 46],
      ],
    ],
    centres: [[320, 140]],
    gapAt: 310,
  },
  {
    zone: 'eyes',
    pieces: [
      [
        [294, 110, 14],
        [346, 110, 14],
      ],
    ],
    centres: [[320, 110]],
    gapAt: 300,
  },
  {
    zone: 'mouthNose',
    pieces: [
      [
        [320, 160, 9],
        [305, 180, 11],
        [335, 180, 11],
      ],
    ],
    centres: [[320, 172]],
    gapAt: 130,
  },
  {
    zone: 'neck',
    pieces: [
      [
        [302, 282, 14],
        [338, 282, 14],
      ],
    ],
    centres: [[320, 282]],
    gapAt: 90,
  },
  {
    zone: 'trunk',
    pieces: [
      [
        [258, 378, 34],
        [382, 378, 34],
        [278, 470, 30],
        [362, 470, 30],
        [272, 556, 28],
        [368, 556, 28],
      ],
    ],
    centres: [[320, 460]],
    gapAt: 300,
  },
  {
    zone: 'forearms',
    pieces: both([
      [
        [156, 392, 22],
        [104, 566, 15],
      ],
    ]),
    centres: [
      [130, 480],
      [510, 480],
    ],
    gapAt: 285,
  },
  {
    zone: 'hands',
    pieces: both(HAND),
    centres: [
      [95, 690],
      [545, 690],
    ],
    gapAt: 235,
  },
  {
    zone: 'legs',
    pieces: both([
      [
        [280, 668, 29],
        [276, 848, 18],
      ],
    ]),
    centres: [[320, 760]],
    gapAt: 285,
  },
  {
    zone: 'feet',
    pieces: both([
      [
        [272, 940, 16],
        [236, 958, 15],
        [282, 958, 15],
      ],
    ]),
    centres: [
      [260, 950],
      [380, 950],
    ],
    gapAt: 250,
  },
];

export interface Region {
  readonly id: string;
  readonly name: string;
  readonly zones: readonly Zone[];
}

/** Parts large enough for a gloved finger, each with the zones in it; where they lie on the drawing stands in report.css. */
export const REGIONS: readonly Region[] = [
  {
    id: 'head',
    name: 'Head and face',
    zones: ['head', 'face', 'eyes', 'mouthNose', 'neck'],
  },
  { id: 'right-arm', name: 'Right arm and hand', zones: ['forearms', 'hands'] },
  { id: 'left-arm', name: 'Left arm and hand', zones: ['forearms', 'hands'] },
  { id: 'trunk', name: 'Body', zones: ['trunk'] },
  { id: 'legs', name: 'Legs and feet', zones: ['legs', 'feet'] },
];
