import type { Plane } from '../picture/plane';
import { centile, valueAt } from '../picture/plane';
import type { BorderPlace } from './border-evidence';
import { arcPlaces, boxPlaces, sidePlaces } from './border-evidence';
import type { FanShape } from './fan-shape';
import type { Box } from './fit-fan';

/** A border's place found at sub-pixel accuracy: how far out (px) it lies from where it was thought, and its contrast. */
interface Found {
  readonly shift: number;
  readonly contrast: number;
}

/** Moves a border to the half height of the step from tissue to background: 60th centile along the border at each distance. */
function stepAt(picture: Plane, samples: readonly BorderPlace[], reach: number): Found | null {
  const inside = samples.filter(
    ({ x, y }) => x > 1 && y > 1 && x < picture.width - 1 && y < picture.height - 1,
  );
  if (inside.length < 0.3 * samples.length || inside.length < 6) return null;
  const step = reach / 16;
  const profile: number[] = [];
  for (let k = -16; k <= 16; k += 1) {
    const along = k * step;
    profile.push(
      centile(
        inside.map((s) => valueAt(picture, s.x + s.outX * along, s.y + s.outY * along)),
        0.6,
      ),
    );
  }
  const within = centile(profile.slice(0, 9), 0.5);
  const beyond = centile(profile.slice(26), 0.5);
  const contrast = (within - beyond) / (within + beyond + 12);
  if (contrast < 0.12 || within - beyond < 3) return { shift: 0, contrast: Math.max(0, contrast) };
  const half = (within + beyond) / 2;
  for (let k = 32; k > 0; k -= 1) {
    const outer = profile[k] as number;
    const inner = profile[k - 1] as number;
    if (outer < half && inner >= half) {
      const part = (inner - half) / (inner - outer);
      return { shift: (k - 1 + part - 16) * step, contrast };
    }
  }
  return { shift: 0, contrast };
}

/** Side line through two places found on it. */
function movedSide(
  picture: Plane,
  fan: FanShape,
  slope: number,
  out: -1 | 1,
  reach: number,
): {
  readonly x1: number;
  readonly y1: number;
  readonly x2: number;
  readonly y2: number;
  readonly contrast: number;
} | null {
  const upper = stepAt(picture, sidePlaces(fan, slope, out, 0.12, 0.52), reach);
  const lower = stepAt(picture, sidePlaces(fan, slope, out, 0.52, 0.96), reach);
  const both = upper ?? lower;
  if (!both) return null;
  const a = upper ?? { ...both, shift: 0 };
  const b = lower ?? { ...both, shift: 0 };
  const length = Math.sqrt(1 + slope * slope);
  const place = (part: number, shift: number): { x: number; y: number } => {
    const range = fan.inner + (fan.outer - fan.inner) * part;
    return {
      x: fan.apexX + (range * slope + out * shift) / length,
      y: fan.apexY + (range - out * slope * shift) / length,
    };
  };
  const p = place(0.32, a.shift);
  const q = place(0.74, b.shift);
  return { x1: p.x, y1: p.y, x2: q.x, y2: q.y, contrast: (a.contrast + b.contrast) / 2 };
}

/** Sharpens a fitted fan on the mean picture. Contrast: 0 no step at the borders to 1. */
export function sharpenBorders(
  start: FanShape,
  picture: Plane,
): { readonly fan: FanShape; readonly contrast: number } {
  let fan = start;
  const contrasts: number[] = [];
  for (let round = 0; round < 3; round += 1) {
    const reach = Math.max(5, (picture.width / 800) * ([14, 9, 6][round] as number));
    const left = movedSide(picture, fan, fan.left, -1, reach);
    const right = movedSide(picture, fan, fan.right, 1, reach);
    if (left && right) fan = crossing(fan, left, right);
    const outer = stepAt(picture, arcPlaces(fan, fan.outer, 1), reach);
    const inner =
      fan.inner > 6 ? stepAt(picture, arcPlaces(fan, fan.inner, -1), Math.min(reach, fan.inner / 2)) : null;
    fan = {
      ...fan,
      outer: fan.outer + (outer?.shift ?? 0),
      inner: Math.max(0, fan.inner - (inner?.shift ?? 0)),
    };
    if (round === 2)
      for (const found of [left, right, outer, inner]) if (found) contrasts.push(found.contrast);
  }
  const contrast = contrasts.length === 0 ? 0 : contrasts.reduce((a, b) => a + b, 0) / contrasts.length;
  return { fan, contrast };
}

type Line = { readonly x1: number; readonly y1: number; readonly x2: number; readonly y2: number };

/** The fan whose sides run along two lines; borders of depth stay where they are. */
function crossing(fan: FanShape, left: Line, right: Line): FanShape {
  const slopeLeft = (left.x2 - left.x1) / (left.y2 - left.y1);
  const slopeRight = (right.x2 - right.x1) / (right.y2 - right.y1);
  const open = slopeRight - slopeLeft;
  if (!(open > 0.12) || Math.abs(slopeLeft) > 9 || Math.abs(slopeRight) > 9) return fan;
  const apexY = (left.x1 - slopeLeft * left.y1 - (right.x1 - slopeRight * right.y1)) / open;
  const apexX = left.x1 + slopeLeft * (apexY - left.y1);
  const lift = fan.apexY - apexY;
  if (Math.abs(lift) > 0.2 * fan.outer || Math.abs(apexX - fan.apexX) > 0.1 * fan.outer) return fan;
  return {
    ...fan,
    apexX,
    apexY,
    left: slopeLeft,
    right: slopeRight,
    outer: fan.outer + lift,
    inner: Math.max(0, fan.inner + lift),
  };
}

/** Moves each side of a box to the half height of its step on the mean picture. */
export function sharpenBox(start: Box, picture: Plane): { readonly box: Box; readonly contrast: number } {
  let box = start;
  const contrasts: number[] = [];
  for (let round = 0; round < 2; round += 1) {
    const reach = Math.max(5, (picture.width / 800) * ([14, 6][round] as number));
    const [left, right, top, bottom] = boxPlaces(box).map((side) => stepAt(picture, side, reach));
    box = {
      x0: box.x0 - (left?.shift ?? 0),
      x1: box.x1 + (right?.shift ?? 0),
      y0: box.y0 - (top?.shift ?? 0),
      y1: box.y1 + (bottom?.shift ?? 0),
    };
    if (round === 1)
      for (const found of [left, right, top, bottom]) if (found) contrasts.push(found.contrast);
  }
  const contrast = contrasts.length === 0 ? 0 : contrasts.reduce((a, b) => a + b, 0) / contrasts.length;
  return { box, contrast };
}
