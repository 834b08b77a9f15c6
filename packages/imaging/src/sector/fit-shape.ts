import type { Plane } from '../picture/plane';
import { emptyPlane } from '../picture/plane';
import type { FanShape } from './fan-shape';
import { fanAreas } from './fan-shape';
import { fitBox } from './fit-box';
import type { Box, RowSums } from './fit-fan';
import { climb, fitFan, startsIn } from './fit-fan';

/** What was fitted to a region: a fan, or null where the box fits better, and how much activity it holds. */
export interface FittedShape {
  readonly fan: FanShape | null;
  /** The best box, also where a fan is better. */
  readonly box: Box;
  readonly score: number;
}

/** A fan must hold so much more than a box of the same region to be one, and a flat top so much more than a round one. */
const fanLead = 1.01;
const flatLead = 1.012;

/** The best of round fan, fan with a flat top, and box. */
export function fitShape(
  start: Box,
  rows: RowSums,
): { readonly best: FittedShape; readonly box: FittedShape } {
  const round = fitFan(startsIn(start, false), rows);
  const flat = fitFan(startsIn(start, true), rows);
  const fitted = fitBox(start, rows);
  const box: FittedShape = { fan: null, box: fitted.box, score: fitted.score };
  const fan = round && (!flat || flat.score < round.score * flatLead) ? round : flat;
  const best =
    fan && fan.score > box.score * fanLead ? { fan: fan.fan, box: box.box, score: fan.score } : box;
  return { best, box };
}

/** The same in a hurry, to compare cuts: few starts, coarse steps, no flat tops. */
export function fitQuickly(start: Box, rows: RowSums): FittedShape {
  const fitted = fitBox(start, rows);
  const fans = startsIn(start, false)
    .filter((_, n) => n % 2 === 1)
    .map((fan) => climb(fan, rows, rows.width / 25, 1.9))
    .sort((a, b) => b.score - a.score);
  const fan = fans[0];
  return fan && fan.score > fitted.score * fanLead
    ? { fan: fan.fan, box: fitted.box, score: fan.score }
    : { fan: null, box: fitted.box, score: fitted.score };
}

/** How well a shape is filled: activity by area. */
export function fillOf({ fan, box, score }: FittedShape, width: number, height: number): number {
  if (!fan) return score / areaOf(box);
  const { total, outside } = fanAreas(fan, width, height);
  return score / Math.max(1, total + outside);
}

export function areaOf({ x0, y0, x1, y1 }: Box): number {
  return Math.max(1, (x1 - x0) * (y1 - y0));
}

export function scaleBox({ x0, y0, x1, y1 }: Box, factor: number): Box {
  return { x0: x0 * factor, y0: y0 * factor, x1: x1 * factor, y1: y1 * factor };
}

export function union(a: Box, b: Box): Box {
  return {
    x0: Math.min(a.x0, b.x0),
    y0: Math.min(a.y0, b.y0),
    x1: Math.max(a.x1, b.x1),
    y1: Math.max(a.y1, b.y1),
  };
}

/** The map within a box, nothing elsewhere. */
export function onlyIn(map: Plane, box: Box, rim = 0): Plane {
  const out = emptyPlane(map.width, map.height);
  const x0 = Math.max(0, Math.floor(box.x0 - rim));
  const x1 = Math.min(map.width, Math.ceil(box.x1 + rim));
  for (
    let y = Math.max(0, Math.floor(box.y0 - rim));
    y < Math.min(map.height, Math.ceil(box.y1 + rim));
    y += 1
  )
    out.values.set(map.values.subarray(y * map.width + x0, y * map.width + x1), y * map.width + x0);
  return out;
}
