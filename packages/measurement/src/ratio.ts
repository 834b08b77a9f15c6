import type { FramePoint } from '@chordae/contract';
import { found, unmeasured } from './points';
import { pathLength } from './polygon';
import type { DrawnValues } from './values';
import { drawnValue } from './values';

const HALF = { x: 0.5, y: 0.5 };

/**
 * The first of two lengths in pixels over the second, and by how much the second is shorter in percent: for pictures without
 * a scale, whose pixels are taken to be square. Example: 40 and 25 pixels are 1.60, and 37.5 % shorter.
 */
export function ratioValues(first: readonly FramePoint[], second: readonly FramePoint[]): DrawnValues {
  if (first.length !== 2 || second.length !== 2) return unmeasured('POINTS_MISSING');
  if (![...first, ...second].every((p) => Number.isFinite(p.x) && Number.isFinite(p.y)))
    return unmeasured('POINTS_MISSING');
  const [a, b] = [pathLength(first, HALF, false), pathLength(second, HALF, false)];
  if (a.least <= 0 || b.least <= 0) return unmeasured('DRAWING_WITHOUT_SIZE');
  const less = (from: number, to: number) => (100 * (from - to)) / from;
  return found([
    drawnValue('ratio', 'ratio', a.value / b.value, a.least / b.most, a.most / b.least),
    drawnValue('less', '%', less(a.value, b.value), less(a.least, b.most), less(a.most, b.least)),
  ]);
}
