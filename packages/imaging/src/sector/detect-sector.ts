import type { GrayFrame } from '../gray-frame';
import { spreadFrames, usableFrames } from '../gray-frame';
import type { Plane } from '../picture/plane';
import { blur, emptyPlane, meanPlane } from '../picture/plane';
import { makeShrinker } from '../picture/shrink';
import { activityMap } from './activity';
import { sharpenBorders } from './borders';
import type { FanShape } from './fan-shape';
import { fanAreas, scaleFan } from './fan-shape';
import { fitBox } from './fit-box';
import type { Box } from './fit-fan';
import { climb, fitFan, rowSums, startsIn } from './fit-fan';
import type { Piece } from './pieces';
import { pieces } from './pieces';
import type { SectorGeometry, SectorReason } from './sector-geometry';
import { anglesOf, fanBox } from './sector-geometry';

const coarseWidth = 200;
const fineWidth = 400;
const borderWidth = 900;
const nowhere: Box = { x0: 0, y0: 0, x1: 0, y1: 0 };

function notFound(reason: SectorReason, widthPx = 0, heightPx = 0): SectorGeometry {
  return {
    shape: 'none',
    widthPx,
    heightPx,
    apexXPx: 0,
    apexYPx: 0,
    leftAngleRad: 0,
    rightAngleRad: 0,
    innerRadiusPx: 0,
    outerRadiusPx: 0,
    box: nowhere,
    confidence: 0,
    clippedFraction: 0,
    otherPanels: [],
    reasons: [reason],
  };
}

/**
 * Finds the scanned sector: a fan, one with a flat top, or a box (linear probe). Six numbers are moved until the sum of activity in
 * the fan is largest, then each border goes to the half height of its step. Annulus-sector fits: Weld et al. 2025, arXiv 2502.09482.
 */
export function detectSectorGeometry(frames: readonly GrayFrame[]): SectorGeometry {
  const usable = usableFrames(frames);
  const first = usable[0];
  if (!first) return notFound('SECTOR_NO_PICTURE');
  const { widthPx, heightPx } = first;
  if (widthPx < 24 || heightPx < 24) return notFound('SECTOR_NOT_FOUND', widthPx, heightPx);
  const chosen = spreadFrames(usable, 8);
  const coarse = makeShrinker(first, coarseWidth);
  const { activity } = activityMap(chosen.map((frame) => coarse.shrink(frame)));
  const panels = panelsOf(activity);
  const main = panels[0];
  if (!main) return notFound('SECTOR_NOT_FOUND', widthPx, heightPx);
  const own = panels.length > 1 ? onlyIn(activity, main) : activity;
  const rows = rowSums(own);
  const round = fitFan(startsIn(main, false), rows);
  const flat = fitFan(startsIn(main, true), rows);
  const box = fitBox(main, rows);
  const bestFan = round && (!flat || flat.score < round.score * 1.012) ? round : flat;
  if (!bestFan || Math.max(bestFan.score, box.score) < 0.02 * rows.width * rows.height * 0.5)
    return notFound('SECTOR_NOT_FOUND', widthPx, heightPx);
  const others = panels.slice(1).map((p) => scaleBox(p, coarse.scale));
  const reasons: SectorReason[] = [];
  if (usable.length === 1) reasons.push('SECTOR_SINGLE_FRAME');
  if (others.length > 0) reasons.push('SECTOR_SPLIT_SCREEN');
  if (box.score > bestFan.score * 1.01) {
    const scaled = scaleBox(box.box, coarse.scale);
    return {
      ...notFound('SECTOR_NOT_FOUND', widthPx, heightPx),
      shape: 'box',
      box: { ...scaled, x1: Math.min(widthPx, scaled.x1), y1: Math.min(heightPx, scaled.y1) },
      confidence: Math.min(1, box.score / (0.5 * areaOf(box.box))),
      otherPanels: others,
      reasons,
    };
  }
  return finished(bestFan.fan, chosen, main, coarse.scale, panels.length > 1, others, reasons);
}

function finished(
  coarseFan: FanShape,
  chosen: readonly GrayFrame[],
  main: Box,
  coarseScale: number,
  split: boolean,
  otherPanels: readonly Box[],
  reasons: SectorReason[],
): SectorGeometry {
  const first = chosen[0] as GrayFrame;
  const { widthPx, heightPx } = first;
  const fine = makeShrinker(first, fineWidth);
  const map = activityMap(chosen.map((frame) => fine.shrink(frame)));
  const scale = coarseScale / fine.scale;
  const fineActivity = split ? onlyIn(map.activity, scaleBox(main, scale)) : map.activity;
  const fineRows = rowSums(fineActivity);
  const refined = climb(scaleFan(coarseFan, scale), fineRows, 2, 0.25);
  const sharp = makeShrinker(first, borderWidth);
  const picture = blur(meanPlane(chosen.map((frame) => sharp.shrink(frame))), 1, 1);
  const { fan, contrast } = sharpenBorders(scaleFan(refined.fan, fine.scale / sharp.scale), picture);
  const found = scaleFan(fan, sharp.scale);
  const areas = fanAreas(found, widthPx, heightPx);
  const clippedFraction = areas.total > 0 ? areas.outside / areas.total : 0;
  const fineTotal = fanAreas(refined.fan, fineRows.width, fineRows.height);
  const inside = refined.score / Math.max(1, fineTotal.total - fineTotal.outside) + 0.22;
  const confidence = Math.max(0, Math.min(1, contrast * 1.25)) * Math.min(1, inside / 0.5);
  if (contrast < 0.35) reasons.push('SECTOR_BORDER_FAINT');
  if (clippedFraction > 0.03) reasons.push('SECTOR_CLIPPED');
  return {
    shape: found.flatTop ? 'fan-flat-top' : 'fan',
    widthPx,
    heightPx,
    apexXPx: found.apexX,
    apexYPx: found.apexY,
    ...anglesOf(found),
    innerRadiusPx: found.inner,
    outerRadiusPx: found.outer,
    box: fanBox(found, widthPx, heightPx),
    confidence,
    clippedFraction,
    otherPanels,
    reasons,
  };
}

function areaOf({ x0, y0, x1, y1 }: Box): number {
  return Math.max(1, (x1 - x0) * (y1 - y0));
}

function scaleBox({ x0, y0, x1, y1 }: Box, factor: number): Box {
  return { x0: x0 * factor, y0: y0 * factor, x1: x1 * factor, y1: y1 * factor };
}

/** The map within a box, nothing elsewhere. */
function onlyIn(map: Plane, box: Box): Plane {
  const out = emptyPlane(map.width, map.height);
  for (let y = 0; y < map.height; y += 1)
    for (let x = 0; x < map.width; x += 1)
      if (x + 0.5 >= box.x0 - 1 && x + 0.5 <= box.x1 + 1 && y + 0.5 >= box.y0 - 1 && y + 0.5 <= box.y1 + 1)
        out.values[y * map.width + x] = map.values[y * map.width + x] as number;
  return out;
}

/**
 * Cuts a screen into panels: large active pieces whose boxes stand apart. One fan that shadows have torn stays one, as its pieces
 * together fill one fan better than each its own.
 */
function panelsOf(activity: Plane): Box[] {
  const smooth = blur(activity, 2, 2);
  const { list } = pieces(smooth, 0.3);
  const total = activity.width * activity.height;
  const large = list.filter((p) => p.pixels > 0.012 * total);
  const main = large[0];
  if (!main) return list[0] && list[0].pixels > 0.004 * total ? [list[0]] : [];
  const together = large.reduce<Box>(union, main);
  const apart = large.filter((p) => p.pixels > 0.3 * main.pixels && !overlaps(p, main));
  if (apart.length === 0 || !betterApart(activity, main, apart[0] as Piece)) return [together];
  const near = large.filter((p) => p !== main && !apart.includes(p) && overlaps(p, main));
  const panels = [near.reduce<Box>(union, main), ...apart];
  return panels
    .map((box) => ({ box, fill: fanFill(activity, box) }))
    .sort((p, q) => q.fill - p.fill)
    .map(({ box }) => box);
}

/** How well a fan fills a panel: the two-dimensional picture does so better than a trace or a spectrum beside it. */
function fanFill(activity: Plane, box: Box): number {
  const fit = fitFan(startsIn(box, false), rowSums(onlyIn(activity, box)));
  if (!fit) return 0;
  const { total, outside } = fanAreas(fit.fan, activity.width, activity.height);
  return fit.score / Math.max(1, total + outside);
}

function union(a: Box, b: Box): Box {
  return {
    x0: Math.min(a.x0, b.x0),
    y0: Math.min(a.y0, b.y0),
    x1: Math.max(a.x1, b.x1),
    y1: Math.max(a.y1, b.y1),
  };
}

function overlaps(a: Box, b: Box): boolean {
  const across = Math.min(a.x1, b.x1) - Math.max(a.x0, b.x0);
  const down = Math.min(a.y1, b.y1) - Math.max(a.y0, b.y0);
  return across > 0.06 * (b.x1 - b.x0) && down > 0.06 * (b.y1 - b.y0);
}

function betterApart(activity: Plane, a: Box, b: Box): boolean {
  const rows = rowSums(activity);
  const joint = fitFan(startsIn(union(a, b), false), rows)?.score ?? 0;
  const best = (box: Box): number => {
    const own = rowSums(onlyIn(activity, box));
    return Math.max(fitFan(startsIn(box, false), own)?.score ?? 0, fitBox(box, own).score);
  };
  return best(a) + best(b) > 1.05 * joint;
}
