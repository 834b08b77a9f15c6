import type { Plane } from '../picture/plane';
import { emptyPlane } from '../picture/plane';
import type { Box } from '../sector/fit-fan';
import { pieces } from '../sector/pieces';
import { readDigit } from './read-digit';
import type { TickRow } from './search';

/** A number that stands beside a tick: `k` counts ticks from the row's first one. */
export interface TickLabel {
  readonly k: number;
  readonly value: number;
}

/** Level above the background from which a letter counts as lit. */
const litAbove = 55;

/** Numbers beside the ticks of a row, and beside the places where two more ticks would stand. */
export function tickLabels(plane: Plane, background: number, row: TickRow): TickLabel[] {
  const { width, height } = plane;
  const reach = 0.09 * width;
  const xs = row.ticks.map((t) => t.x);
  const ys = row.ticks.map((t) => t.y);
  const spare = 2 * row.pitchPx;
  const around = {
    x0: Math.max(0, Math.floor(Math.min(...xs) - reach - spare * 0.7)),
    x1: Math.min(width, Math.ceil(Math.max(...xs) + reach + spare * 0.7)),
    y0: Math.max(0, Math.floor(Math.min(...ys) - spare - 10)),
    y1: Math.min(height, Math.ceil(Math.max(...ys) + spare + 10)),
  };
  const glyphs = glyphsIn(plane, background, around, 0.045 * height);
  return placesOf(row).flatMap(({ k, x, y }) => {
    const value = numberBeside(plane, glyphs, x, y, reach);
    return value === null ? [] : [{ k, value }];
  });
}

/** Ticks, and two more places at either end: the last tick of a ruler often carries the number. */
function placesOf({ ticks, pitchPx, slant }: TickRow): { k: number; x: number; y: number }[] {
  const down = pitchPx / Math.sqrt(1 + slant * slant);
  const first = ticks[0] as TickRow['ticks'][number];
  const last = ticks[ticks.length - 1] as TickRow['ticks'][number];
  const from = ({ x, y, k }: { x: number; y: number; k: number }, by: number) => ({
    k: k + by,
    x: x + by * slant * down,
    y: y + by * down,
  });
  return [from(first, -2), from(first, -1), ...ticks, from(last, 1), from(last, 2)];
}

/** Lit shapes of the height of letters. */
function glyphsIn(plane: Plane, background: number, { x0, y0, x1, y1 }: Box, highest: number): Box[] {
  const part = emptyPlane(Math.max(1, x1 - x0), Math.max(1, y1 - y0));
  for (let y = 0; y < part.height; y += 1)
    for (let x = 0; x < part.width; x += 1)
      part.values[y * part.width + x] = plane.values[(y0 + y) * plane.width + x0 + x] as number;
  return pieces(part, background + litAbove)
    .list.filter((p) => p.y1 - p.y0 <= highest && p.x1 - p.x0 <= 2.2 * highest)
    .map((p) => ({ x0: p.x0 + x0, x1: p.x1 + x0, y0: p.y0 + y0, y1: p.y1 + y0 }));
}

const heightOf = ({ y0, y1 }: Box): number => y1 - y0;

/** The number in the line of letters nearest to a tick, on its height. */
function numberBeside(
  plane: Plane,
  glyphs: readonly Box[],
  x: number,
  y: number,
  reach: number,
): number | null {
  const level = glyphs.filter((g) => {
    const height = heightOf(g);
    const gap = Math.max(g.x0 - x, x - g.x1);
    return height >= 5 && Math.abs((g.y0 + g.y1) / 2 - y) < 0.85 * height && gap > 0 && gap < reach;
  });
  const nearest = [...level].sort((a, b) => Math.max(a.x0 - x, x - a.x1) - Math.max(b.x0 - x, x - b.x1));
  for (const seed of nearest.slice(0, 2)) {
    const value = numberOf(plane, lineOf(seed, glyphs));
    if (value !== null) return value;
  }
  return null;
}

/** Letters that stand in one line with a first one, from the left. */
function lineOf(seed: Box, glyphs: readonly Box[]): Box[] {
  const height = heightOf(seed);
  const line = [seed];
  for (let grown = true; grown; ) {
    grown = false;
    const [x0, x1] = [Math.min(...line.map((g) => g.x0)), Math.max(...line.map((g) => g.x1))];
    for (const g of glyphs) {
      if (line.includes(g) || g.y1 > seed.y1 + 0.35 * height || g.y0 < seed.y0 - 0.35 * height) continue;
      if (g.x0 - x1 > 0.55 * height || x0 - g.x1 > 0.55 * height || heightOf(g) < 2) continue;
      line.push(g);
      grown = true;
      break;
    }
  }
  return line.sort((a, b) => a.x0 - b.x0);
}

/** A whole number or one with a decimal at the line's left end; letters may follow. null: no number. */
function numberOf(plane: Plane, line: readonly Box[]): number | null {
  const tallest = Math.max(...line.map(heightOf));
  let text = '';
  for (const glyph of line.flatMap((g) => split(plane, g))) {
    const dot = heightOf(glyph) < 0.35 * tallest;
    if (dot && text !== '' && !text.includes('.')) {
      text += '.';
      continue;
    }
    // A tick of the ruler may stand first.
    if (dot && text === '') continue;
    const read = heightOf(glyph) < 0.75 * tallest ? null : readDigit(plane, glyph);
    if (!read) break;
    text += String(read.digit);
  }
  return /^\d{1,2}(\.\d)?\.?$/.test(text) ? Number.parseFloat(text) : null;
}

/** Two digits that touch are parted at their emptiest column. */
function split(plane: Plane, glyph: Box): Box[] {
  const width = glyph.x1 - glyph.x0;
  if (width < 0.95 * heightOf(glyph)) return [glyph];
  let at = glyph.x0;
  let least = Number.POSITIVE_INFINITY;
  for (let x = glyph.x0 + Math.ceil(0.3 * width); x < glyph.x1 - 0.3 * width; x += 1) {
    let sum = 0;
    for (let y = glyph.y0; y < glyph.y1; y += 1) sum += plane.values[y * plane.width + x] as number;
    if (sum < least) {
      least = sum;
      at = x;
    }
  }
  return at === glyph.x0
    ? [glyph]
    : [
        { ...glyph, x1: at },
        { ...glyph, x0: at + 1 },
      ];
}
