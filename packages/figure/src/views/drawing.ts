/**
 * Our own line drawings of the standard views: one hand, one stroke weight, labelled chambers. Display as in the trade:
 * marker dot on the right of the screen; long axis with the base on the right; short axis with cranial structures on
 * the right; left apical with the left heart on the right of the picture.
 */
export interface DrawnPath {
  /** SVG path data in the drawing's units. */
  d: string;
  /** `sector`: edge of the picture; `wall`: muscle between two lines; `line`: valves, septa; `fluid`: filled with a pattern. */
  role: 'sector' | 'wall' | 'line' | 'fluid' | 'dashed';
}

export interface DrawnLabel {
  x: number;
  y: number;
  text: string;
}

export interface ViewDrawing {
  /** Width and height of the drawing's box; the origin is its upper left corner. */
  width: number;
  height: number;
  strokeWidth: number;
  paths: DrawnPath[];
  labels: DrawnLabel[];
}

/** The fan of the picture with the marker dot on its right. */
export const SECTOR: DrawnPath[] = [
  { d: 'M114 10 L3 142 A182 182 0 0 0 237 142 L126 10 Q120 4 114 10 Z', role: 'sector' },
  { d: 'M146 10 a3 3 0 1 0 0.01 0', role: 'line' },
];

export const wall = (d: string): DrawnPath => ({ d, role: 'wall' });
export const line = (d: string): DrawnPath => ({ d, role: 'line' });
export const fluid = (d: string): DrawnPath => ({ d, role: 'fluid' });
export const dashed = (d: string): DrawnPath => ({ d, role: 'dashed' });
export const label = (x: number, y: number, text: string): DrawnLabel => ({ x, y, text });

/** A closed circle as path data, for cut vessels and round cavities. */
export function circle(cx: number, cy: number, r: number): string {
  return `M${cx - r} ${cy} a${r} ${r} 0 1 0 ${2 * r} 0 a${r} ${r} 0 1 0 ${-2 * r} 0 Z`;
}

/** Moves path data: absolute numbers are scaled and shifted, relative ones and radii only scaled. */
function placedPath(d: string, scale: number, dx: number, dy: number): string {
  const round = (v: number): number => Math.round(v * 10) / 10;
  return d.replace(/([A-Za-z])([^A-Za-z]*)/g, (_, command: string, rest: string) => {
    const numbers =
      rest.trim() === ''
        ? []
        : rest
            .trim()
            .split(/[\s,]+/)
            .map(Number);
    const absolute = command === command.toUpperCase();
    const moved = numbers.map((v, i) => {
      if (command === 'a') return i % 7 === 2 || i % 7 === 3 || i % 7 === 4 ? v : round(v * scale);
      return round(absolute ? v * scale + (i % 2 === 0 ? dx : dy) : v * scale);
    });
    return `${command}${moved.join(' ')}`;
  });
}

/** A drawing in the common box, its heart scaled and shifted into the fan. */
export function drawing(
  paths: DrawnPath[],
  labels: DrawnLabel[],
  scale = 0.8,
  dx = 21,
  dy = 38,
): ViewDrawing {
  return {
    width: 240,
    height: 190,
    strokeWidth: 2,
    paths: [...SECTOR, ...paths.map(({ d, role }) => ({ role, d: placedPath(d, scale, dx, dy) }))],
    labels: labels.map(({ x, y, text }) => ({ x: x * scale + dx, y: y * scale + dy, text })),
  };
}
