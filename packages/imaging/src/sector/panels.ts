import type { Plane } from '../picture/plane';
import { blur, emptyPlane } from '../picture/plane';
import type { Cut } from './cuts';
import { continuity, cutsToTry, waist } from './cuts';
import type { Box } from './fit-fan';
import { rowSums } from './fit-fan';
import type { FittedShape } from './fit-shape';
import { areaOf, fillOf, fitQuickly, fitShape, onlyIn, scaleBox, union } from './fit-shape';
import { pieces } from './pieces';
import { runsThroughout, straightSteps } from './straight-steps';

/** One picture of a screen: the part of the screen that is its own, and the box round what is active there. */
export interface Panel {
  readonly region: Box;
  readonly tight: Box;
  /** Where a dark band lies across one linear picture: the box round both parts. */
  readonly banded: Box | null;
}

/** What a screen is cut by; all planes of one size but `fineMean`, which is larger by `fineFactor`. */
export interface PanelPlanes {
  readonly activity: Plane;
  readonly mean: Plane;
  readonly fineMean: Plane;
  readonly fineFactor: number;
  readonly background: number;
}

/** One fan that holds so much of all activity is only cut at a waist; two shapes must hold so much more together than one. */
const heldByOne = 0.93;
const gainOfTwo = 1.07;
/** Smallest part of a screen's activity that is cut off. */
const smallestPart = 0.06;
const deepest = 2;
/** A cut along which more than this goes on from one side to the other runs through one thing; fans touch by the flat of their arc. */
const mostContinuity = 0.6;
/** A panel is so wide and high at least, as part of the screen's width, and so well filled; what is not is bars and text. */
const smallestSide = 0.12;
const smallestFill = 0.3;

/**
 * Cuts a screen into its pictures: two fans, M-mode beside or a spectrum under the two-dimensional picture, also where they touch.
 * One fan that shadows have torn stays one, since its parts together hold no more than it. The two-dimensional picture comes first.
 */
export function panelsOf(planes: PanelPlanes): Panel[] {
  const { activity } = planes;
  const large = largePieces(activity);
  if (!large) return [];
  const screen = { x0: 0, y0: 0, x1: activity.width, y1: activity.height };
  const parts = partsOf(planes, large.map, screen, 0, held(large.map));
  const ranked = parts
    .map((part) => ({ part, rank: rankOf(part, activity) }))
    .sort((a, b) => b.rank - a.rank)
    .map(({ part }) => part);
  const others = joined(ranked.slice(1)).filter((part) => isPanel(part, activity));
  return [...ranked.slice(0, 1), ...others].map(({ region, tight, banded }) => ({ region, tight, banded }));
}

/** Panels of one height that touch are one trace, cut between its waves. */
function joined(parts: readonly Part[]): Part[] {
  const out: Part[] = [];
  for (const part of [...parts].sort((a, b) => a.tight.x0 - b.tight.x0)) {
    const { x0, y0, y1 } = part.tight;
    const tall = 0.06 * (y1 - y0);
    const at = out.findIndex(
      ({ tight }) =>
        Math.abs(tight.x1 - x0) <= 4 && Math.abs(tight.y0 - y0) <= tall && Math.abs(tight.y1 - y1) <= tall,
    );
    const before = out[at];
    if (before)
      out[at] = {
        ...before,
        tight: union(before.tight, part.tight),
        region: union(before.region, part.region),
      };
    else out.push(part);
  }
  return out;
}

function isPanel({ tight, shape }: Part, { width, height }: Plane): boolean {
  const side = Math.min(tight.x1 - tight.x0, tight.y1 - tight.y0);
  return side >= smallestSide * width && fillOf(shape, width, height) >= smallestFill;
}

interface Part extends Panel {
  readonly shape: FittedShape;
}

/** The map of the large connected pieces, without text and marks. null: nothing of size. */
function largePieces(activity: Plane): { readonly map: Plane } | null {
  const { list, marks } = pieces(blur(activity, 2, 2), 0.3);
  const total = activity.width * activity.height;
  const main = list[0];
  if (!main || main.pixels <= 0.004 * total) return null;
  const large = new Set(list.filter((p) => p === main || p.pixels > 0.012 * total).map((p) => p.mark));
  const map = emptyPlane(activity.width, activity.height);
  for (let n = 0; n < marks.length; n += 1)
    if (large.has(marks[n] as number)) map.values[n] = activity.values[n] as number;
  return { map };
}

/** Activity above what counts for nothing. */
function held(map: Plane): number {
  let sum = 0;
  for (const v of map.values) sum += Math.max(0, v - 0.22);
  return sum;
}

/** Smallest box round what is active. */
function tightBox(map: Plane, { x0, y0, x1, y1 }: Box): Box | null {
  let box = { x0: x1, y0: y1, x1: x0, y1: y0 };
  for (let y = y0; y < y1; y += 1)
    for (let x = x0; x < x1; x += 1)
      if ((map.values[y * map.width + x] as number) > 0.3)
        box = {
          x0: Math.min(box.x0, x),
          y0: Math.min(box.y0, y),
          x1: Math.max(box.x1, x + 1),
          y1: Math.max(box.y1, y + 1),
        };
  return box.x1 - box.x0 >= 6 && box.y1 - box.y0 >= 6 ? box : null;
}

type Whole = Part & { readonly own: Plane };

function partOf(map: Plane, region: Box): Whole | null {
  const tight = tightBox(map, region);
  if (!tight) return null;
  const own = onlyIn(map, region);
  return { region, tight, banded: null, own, shape: fitQuickly(tight, rowSums(own)) };
}

function partsOf(planes: PanelPlanes, map: Plane, region: Box, depth: number, all: number): Part[] {
  const whole = partOf(map, region);
  if (!whole) return [];
  const best = depth < deepest ? bestCut(planes, map, whole, all) : null;
  if (best && 'banded' in best) return [{ ...whole, banded: best.banded }];
  return best ? best.flatMap((part) => partsOf(planes, map, part.region, depth + 1, all)) : [whole];
}

type Halves = readonly [Part, Part];

/** Two parts, or the box of one picture that a dark band lies across. */
function bestCut(
  planes: PanelPlanes,
  map: Plane,
  whole: Whole,
  all: number,
): Halves | { readonly banded: Box } | null {
  const least = smallestPart * all;
  const inside = held(whole.own);
  const oneFan = whole.shape.fan !== null && whole.shape.score > heldByOne * inside;
  if (oneFan) return cutAtWaist(map, whole, least);
  let best: Halves | null = null;
  let banded: Box | null = null;
  let most = Math.max(whole.shape.score, 0.6 * inside) * gainOfTwo;
  for (const cut of cutsToTry(map, planes.mean, whole.tight, planes.background)) {
    if (continuity(map, whole.tight, cut) > mostContinuity) continue;
    const [a, b] = halves(map, whole.region, cut);
    if (!a || !b || Math.min(held(a.own), held(b.own)) < least) continue;
    const together = a.shape.score + b.shape.score;
    if (together <= most) continue;
    if (samePicture(a, b, cut) || !parted(planes, whole, a, b, cut)) {
      if (!cut.down && alike(a.shape.box, b.shape.box, cut)) banded = union(a.shape.box, b.shape.box);
      continue;
    }
    most = together;
    best = [a, b];
  }
  if (best && fitShape(whole.tight, rowSums(whole.own)).best.score * gainOfTwo > most) best = null;
  best = best ?? cutAtWaist(map, whole, least) ?? cutAtStep(planes, map, whole, all);
  return best ?? (banded ? { banded } : null);
}

/** Two fans side by side may be held by one wide one: they have a waist between them, and each stands upright by itself. */
function cutAtWaist(map: Plane, whole: Whole, least: number): Halves | null {
  const cut = waist(map, whole.tight);
  if (!cut) return null;
  const [a, b] = halves(map, whole.region, cut);
  if (!a || !b || Math.min(held(a.own), held(b.own)) < Math.max(least, 0.2 * held(whole.own))) return null;
  const upright = ({ shape: { fan } }: Part): boolean =>
    fan === null || Math.abs(fan.left + fan.right) < 0.35 * (fan.right - fan.left);
  const fill = (part: Part): number => fillOf(part.shape, map.width, map.height);
  const better = Math.min(fill(a), fill(b)) > 1.08 * fill(whole);
  const holds = a.shape.score + b.shape.score > 0.97 * whole.shape.score;
  return better && holds && upright(a) && upright(b) && !samePicture(a, b, cut) ? [a, b] : null;
}

function halves(map: Plane, { x0, y0, x1, y1 }: Box, { down, at }: Cut): ReturnType<typeof partOf>[] {
  return down
    ? [partOf(map, { x0, y0, x1: at, y1 }), partOf(map, { x0: at, y0, x1, y1 })]
    : [partOf(map, { x0, y0, x1, y1: at }), partOf(map, { x0, y0: at, x1, y1 })];
}

/** Boxes with the same sides along a cut. */
function alike(p: Box, q: Box, { down }: Cut): boolean {
  const [low, high] = down ? (['y0', 'y1'] as const) : (['x0', 'x1'] as const);
  const size = Math.max(p[high] - p[low], q[high] - q[low]);
  return Math.abs(p[low] - q[low]) < 0.06 * size && Math.abs(p[high] - q[high]) < 0.06 * size;
}

/** Two parts with the same sides, one over the other or two boxes beside each other: one picture with a dark band. */
function samePicture(a: Part, b: Part, cut: Cut): boolean {
  const boxes = alike(a.shape.box, b.shape.box, cut);
  if (cut.down) return !a.shape.fan && !b.shape.fan && boxes;
  return boxes || alike(a.tight, b.tight, cut);
}

/** Two boxes are two pictures only where a straight step runs between them throughout. */
function parted(planes: PanelPlanes, { tight }: Part, a: Part, b: Part, { down, at }: Cut): boolean {
  if (a.shape.fan || b.shape.fan) return true;
  const { fineMean, fineFactor, background } = planes;
  const fine = roundBox(scaleBox(tight, fineFactor));
  const within = Math.ceil(fineFactor) + 2;
  return runsThroughout(fineMean, fine, { down, at: Math.round(at * fineFactor) }, within, background);
}

/** Two pictures that fill one box together are told apart by the straight step between them alone. */
function cutAtStep(planes: PanelPlanes, map: Plane, whole: Part, all: number): Halves | null {
  if (whole.shape.fan) return null;
  const factor = planes.fineFactor;
  const fine = roundBox(scaleBox(whole.tight, factor));
  const step = straightSteps(planes.fineMean, fine, true, planes.background)[0];
  if (!step || step.excess < 0.15) return null;
  if (!runsThroughout(planes.fineMean, fine, step, 1, planes.background)) return null;
  const at = Math.round(step.at / factor);
  const { x0, x1 } = whole.tight;
  if (at - x0 < 0.3 * (x1 - x0) || x1 - at < 0.3 * (x1 - x0)) return null;
  const [a, b] = halves(map, whole.region, { down: true, at });
  if (!a || !b || Math.min(held(onlyIn(map, a.region)), held(onlyIn(map, b.region))) < 0.25 * all)
    return null;
  return [a, b];
}

function roundBox({ x0, y0, x1, y1 }: Box): Box {
  return { x0: Math.floor(x0), y0: Math.floor(y0), x1: Math.ceil(x1), y1: Math.ceil(y1) };
}

/** A fan comes before a box, a full one before a sparse one, a large one before a small one. */
function rankOf({ shape, tight }: Part, { width, height }: Plane): number {
  return (shape.fan ? 1 : 0.55) * fillOf(shape, width, height) * Math.sqrt(Math.sqrt(areaOf(tight)));
}
