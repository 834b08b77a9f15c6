import { exactCos, exactSin } from '@chordae/units';
import type { FoundChambers } from '../learned/finder/chambers-finder';
import { gridSide } from '../learned/finder/network';
import type { FoundSpace } from '../learned/finder/read-map';
import { ellipseAxes } from '../picture/ellipse';

/** Shape of the chambers of a long axis; lengths in places of the finder's grid. */
export interface LongAxisShape {
  /** Left ventricle at end diastole from apex to base, and its greatest width across that. */
  readonly length: number;
  readonly width: number;
  /** How far its apical end moves towards the base in systole, part of the length; null where systole was not seen. */
  readonly apexMotion: number | null;
  /** Thickness of the right ventricle over the left one's middle half. */
  readonly rightVentricle: number | null;
  /**
   * Longest diameter of the left atrium by the ventricle's short one, both of the ellipses with the spaces' area and moments: the
   * atrium's border to the valve and the veins is open, and its width across the ventricle's axis was read worse (correlation with
   * the true one 0.35 against 0.7 on developing seeds).
   */
  readonly atriumByVentricle: number | null;
}

interface Axis {
  readonly x: number;
  readonly y: number;
  /** Unit vector from the base to the apex. */
  readonly dx: number;
  readonly dy: number;
}

const slices = 2;

/** How much of a space lies in each slice along an axis (half a place each), from far below to far above its middle. */
function alongAxis(space: FoundSpace, axis: Axis): Float64Array {
  const out = new Float64Array(4 * gridSide * slices);
  space.likelihood.forEach((p, at) => {
    if (space.piece[at] !== 1 && p < 0.25) return;
    const x = (at % gridSide) + 0.5 - axis.x;
    const y = Math.floor(at / gridSide) + 0.5 - axis.y;
    // A place is spread over its own width along the axis.
    for (const part of [-0.375, -0.125, 0.125, 0.375]) {
      const t = x * axis.dx + y * axis.dy + part;
      const slice = Math.floor((t + 2 * gridSide) * slices);
      if (slice >= 0 && slice < out.length) out[slice] = (out[slice] as number) + p / 4;
    }
  });
  return out.map((sum) => sum * slices);
}

const placeOf = (slice: number): number => (slice + 0.5) / slices - 2 * gridSide;

/** Outermost places where a space is at least a third as wide as `across`. */
function endsOf(widths: Float64Array, across: number): { readonly from: number; readonly to: number } | null {
  const wide = (n: number): boolean => (widths[n] as number) > across;
  let from = 0;
  while (from < widths.length && !wide(from)) from += 1;
  let to = widths.length - 1;
  while (to > from && !wide(to)) to -= 1;
  return to > from ? { from: placeOf(from), to: placeOf(to) } : null;
}

function most(widths: Float64Array): number {
  return widths.reduce((a, b) => Math.max(a, b), 0);
}

/** Middle of a space in places of the grid. */
function middleOf({ likelihood, piece }: FoundSpace): { readonly x: number; readonly y: number } {
  let [sum, x, y] = [0, 0, 0];
  piece.forEach((inside, at) => {
    if (inside !== 1) return;
    const p = likelihood[at] as number;
    sum += p;
    x += p * ((at % gridSide) + 0.5);
    y += p * (Math.floor(at / gridSide) + 0.5);
  });
  return { x: x / sum, y: y / sum };
}

/** Mean width of a space over the stretch of an axis. */
function meanWidth(space: FoundSpace, axis: Axis, from: number, to: number): number {
  const widths = alongAxis(space, axis);
  let [sum, count] = [0, 0];
  widths.forEach((w, n) => {
    if (placeOf(n) < from || placeOf(n) > to) return;
    sum += w;
    count += 1;
  });
  return count > 0 ? sum / count : 0;
}

/** Measures the chambers that were found; null where the ventricle is too small to be measured. */
export function longAxisShape(found: FoundChambers): LongAxisShape | null {
  const { angleRad } = ellipseAxes(found.diastole.ellipse);
  const middle = middleOf(found.diastole);
  let [dx, dy] = [exactCos(angleRad), exactSin(angleRad)];
  // The apex lies away from the atrium; where none is seen, on the picture's left.
  const atrium = found.leftAtrium ? middleOf(found.leftAtrium) : { x: middle.x + 1, y: middle.y };
  if ((atrium.x - middle.x) * dx + (atrium.y - middle.y) * dy > 0) [dx, dy] = [-dx, -dy];
  const axis: Axis = { ...middle, dx, dy };
  const widths = alongAxis(found.diastole, axis);
  const width = most(widths);
  const ends = endsOf(widths, 0.2 * width);
  if (!ends || width < 2) return null;
  const length = ends.to - ends.from + 1 / slices;
  const small = found.systole ? alongAxis(found.systole, axis) : null;
  const smallEnds = small ? endsOf(small, 0.2 * most(small)) : null;
  return {
    length,
    width,
    apexMotion: smallEnds ? (ends.to - smallEnds.to) / length : null,
    rightVentricle: found.rightVentricle
      ? meanWidth(found.rightVentricle, axis, ends.from + 0.25 * length, ends.from + 0.75 * length)
      : null,
    atriumByVentricle: found.leftAtrium
      ? ellipseAxes(found.leftAtrium.ellipse).major / ellipseAxes(found.diastole.ellipse).minor
      : null,
  };
}
