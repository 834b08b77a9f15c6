import type { Plane } from '../picture/plane';
import { valueAt } from '../picture/plane';
import type { FanShape } from './fan-shape';
import type { Box } from './fit-fan';

/** A place on a border with the unit vector that points out of the picture there. */
export interface BorderPlace {
  readonly x: number;
  readonly y: number;
  readonly outX: number;
  readonly outY: number;
}

/** Shares of a border: where the picture ends in darkness, where it goes on beyond it, and where nothing can be seen. */
export interface BorderEvidence {
  readonly seen: number;
  readonly against: number;
  readonly dark: number;
}

/** Places along one side of a fan, from a part of its depth to another. */
export function sidePlaces(
  fan: FanShape,
  slope: number,
  out: -1 | 1,
  from: number,
  to: number,
  count = 40,
): BorderPlace[] {
  const length = Math.sqrt(1 + slope * slope);
  return Array.from({ length: count }, (_, n) => {
    const range = fan.inner + (fan.outer - fan.inner) * (from + ((to - from) * (n + 0.5)) / count);
    return {
      x: fan.apexX + (range * slope) / length,
      y: fan.apexY + range / length,
      outX: out / length,
      outY: (-out * slope) / length,
    };
  });
}

/** Places along the inner or outer border of a fan. */
export function arcPlaces(fan: FanShape, radius: number, out: -1 | 1, count = 60): BorderPlace[] {
  return Array.from({ length: count }, (_, n) => {
    const slope = fan.left + (fan.right - fan.left) * (0.06 + (0.88 * (n + 0.5)) / count);
    const length = Math.sqrt(1 + slope * slope);
    const flat = fan.flatTop && out < 0;
    const range = flat ? radius * length : radius;
    return {
      x: fan.apexX + (range * slope) / length,
      y: fan.apexY + range / length,
      outX: flat ? 0 : (out * slope) / length,
      outY: flat ? out : out / length,
    };
  });
}

/** The four sides of a box: left, right, top, bottom. */
export function boxPlaces({ x0, y0, x1, y1 }: Box, count = 40): BorderPlace[][] {
  const parts = Array.from({ length: count }, (_, n) => (n + 0.5) / count);
  const down = (x: number, outX: number): BorderPlace[] =>
    parts.map((p) => ({ x, y: y0 + p * (y1 - y0), outX, outY: 0 }));
  const across = (y: number, outY: number): BorderPlace[] =>
    parts.map((p) => ({ x: x0 + p * (x1 - x0), y, outX: 0, outY }));
  return [down(x0, -1), down(x1, 1), across(y0, -1), across(y1, 1)];
}

function fanPlaces(fan: FanShape): BorderPlace[][] {
  return [
    sidePlaces(fan, fan.left, -1, 0.05, 0.97),
    sidePlaces(fan, fan.right, 1, 0.05, 0.97),
    arcPlaces(fan, fan.outer, 1),
  ];
}

/** What the borders of a fan or box show on the mean picture. Places at the picture's rim count as dark: nothing can be seen there. */
export function borderEvidence(shape: FanShape | Box, picture: Plane, background: number): BorderEvidence {
  const sides = 'apexX' in shape ? fanPlaces(shape) : boxPlaces(shape);
  let [seen, against, all] = [0, 0, 0];
  for (const side of sides)
    for (const place of side) {
      all += 1;
      const found = placeEvidence(place, picture, background);
      if (found > 0) seen += 1;
      else if (found < 0) against += 1;
    }
  return { seen: seen / all, against: against / all, dark: (all - seen - against) / all };
}

/** 1: bright within and dark beyond; -1: the picture goes on; 0: dark on both sides, or the picture's rim. */
function placeEvidence({ x, y, outX, outY }: BorderPlace, picture: Plane, background: number): number {
  const reach = 5;
  const [farX, farY] = [x + outX * reach, y + outY * reach];
  if (farX < 1 || farY < 1 || farX > picture.width - 1 || farY > picture.height - 1) return 0;
  const mean = (sign: number): number => {
    let sum = 0;
    for (const by of [2, 3.5, 5])
      sum += Math.max(0, valueAt(picture, x + sign * outX * by, y + sign * outY * by) - background);
    return sum / 3;
  };
  const within = mean(-1);
  const beyond = mean(1);
  if (within > 3 && within - beyond > 0.4 * (within + beyond)) return 1;
  return beyond > 5 ? -1 : 0;
}
