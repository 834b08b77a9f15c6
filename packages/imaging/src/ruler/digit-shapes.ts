import { exactCos, exactSin } from '@chordae/units';
import type { Plane } from '../picture/plane';
import { emptyPlane } from '../picture/plane';

/** A digit as a lit shape; own drawing. */
export interface DigitShape {
  readonly digit: number;
  readonly plane: Plane;
}

/** Letters of 5 by 7 dots, as old screens have them. `#` is lit. */
const dotted: readonly (readonly [digit: number, rows: readonly string[]])[] = [
  [0, ['.###.', '#...#', '#...#', '#...#', '#...#', '#...#', '.###.']],
  [0, ['.###.', '#...#', '#..##', '#.#.#', '##..#', '#...#', '.###.']],
  [1, ['..#..', '.##..', '..#..', '..#..', '..#..', '..#..', '.###.']],
  [2, ['.###.', '#...#', '....#', '..##.', '.#...', '#....', '#####']],
  [3, ['####.', '....#', '....#', '.###.', '....#', '....#', '####.']],
  [3, ['.###.', '#...#', '....#', '..##.', '....#', '#...#', '.###.']],
  [4, ['...#.', '..##.', '.#.#.', '#..#.', '#####', '...#.', '...#.']],
  [5, ['#####', '#....', '####.', '....#', '....#', '#...#', '.###.']],
  [6, ['.###.', '#....', '#....', '####.', '#...#', '#...#', '.###.']],
  [7, ['#####', '....#', '...#.', '..#..', '.#...', '.#...', '.#...']],
  [8, ['.###.', '#...#', '#...#', '.###.', '#...#', '#...#', '.###.']],
  [9, ['.###.', '#...#', '#...#', '.####', '....#', '....#', '.###.']],
];

type Point = readonly [x: number, y: number];

/** Points of an arc, degrees from right turning down the picture. */
function arc(cx: number, cy: number, rx: number, ry: number, from: number, to: number): Point[] {
  return Array.from({ length: 13 }, (_, n) => {
    const angle = ((from + ((to - from) * n) / 12) / 180) * Math.PI;
    return [cx + rx * exactCos(angle), cy + ry * exactSin(angle)];
  });
}

const sixth = (): Point[][] => [
  arc(0.3, 0.68, 0.3, 0.32, 0, 360),
  [[0, 0.68], ...arc(0.36, 0.55, 0.36, 0.55, 180, 292)],
];

/** Round letters drawn with a pen: lines in a box 0.6 wide and 1 high. */
const drawn: readonly (readonly [digit: number, lines: readonly (readonly Point[])[]])[] = [
  [0, [arc(0.3, 0.5, 0.3, 0.5, 0, 360)]],
  [
    1,
    [
      [
        [0.02, 0.24],
        [0.28, 0],
        [0.28, 1],
      ],
    ],
  ],
  [2, [[...arc(0.3, 0.28, 0.28, 0.28, 180, 392), [0, 1], [0.6, 1]]]],
  [3, [[...arc(0.28, 0.25, 0.26, 0.25, 190, 450), ...arc(0.28, 0.74, 0.31, 0.26, 270, 530)]]],
  [
    4,
    [
      [
        [0.44, 1],
        [0.44, 0],
        [0, 0.68],
        [0.6, 0.68],
      ],
    ],
  ],
  [5, [[[0.54, 0], [0.1, 0], [0.05, 0.46], ...arc(0.28, 0.67, 0.31, 0.33, 232, 510)]]],
  [6, sixth()],
  [
    7,
    [
      [
        [0, 0],
        [0.6, 0],
        [0.22, 1],
      ],
    ],
  ],
  [8, [arc(0.3, 0.25, 0.25, 0.25, 0, 360), arc(0.3, 0.74, 0.3, 0.26, 0, 360)]],
  [9, sixth().map((line) => line.map(([x, y]) => [0.6 - x, 1 - y]))],
];

function dots(lines: readonly string[]): Plane {
  const plane = emptyPlane(lines[0]?.length ?? 1, lines.length);
  lines.forEach((line, y) => {
    for (let x = 0; x < line.length; x += 1) plane.values[y * plane.width + x] = line[x] === '#' ? 255 : 0;
  });
  return plane;
}

function distanceTo([ax, ay]: Point, [bx, by]: Point, x: number, y: number): number {
  const [dx, dy] = [bx - ax, by - ay];
  const length2 = dx * dx + dy * dy;
  const t = length2 > 0 ? Math.max(0, Math.min(1, ((x - ax) * dx + (y - ay) * dy) / length2)) : 0;
  const [px, py] = [x - ax - t * dx, y - ay - t * dy];
  return Math.sqrt(px * px + py * py);
}

/** Pixels of a drawn letter's height without its pen. */
const drawnHeight = 30;

/** Lines drawn with a pen of a width given as part of the height, cut close. */
function penned(lines: readonly (readonly Point[])[], pen: number): Plane {
  const xs = lines.flat().map(([x]) => x);
  const [left, right] = [Math.min(...xs) - pen / 2, Math.max(...xs) + pen / 2];
  const plane = emptyPlane(Math.ceil((right - left) * drawnHeight), Math.ceil((1 + pen) * drawnHeight));
  for (let py = 0; py < plane.height; py += 1)
    for (let px = 0; px < plane.width; px += 1) {
      const x = left + (px + 0.5) / drawnHeight;
      const y = (py + 0.5) / drawnHeight - pen / 2;
      const near = lines.some((line) =>
        line.some((point, n) => n > 0 && distanceTo(line[n - 1] as Point, point, x, y) < pen / 2),
      );
      if (near) plane.values[py * plane.width + px] = 255;
    }
  return plane;
}

/** Every shape that digits are held against: dots, and round letters with a thin and a thick pen. */
export function digitShapes(): DigitShape[] {
  return [
    ...dotted.map(([digit, lines]) => ({ digit, plane: dots(lines) })),
    ...[0.11, 0.18].flatMap((pen) => drawn.map(([digit, lines]) => ({ digit, plane: penned(lines, pen) }))),
  ];
}
