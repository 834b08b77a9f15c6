import type { GrayFrame } from '../gray-frame';
import { spreadFrames, usableFrames } from '../gray-frame';
import { halved, makeShrinker } from '../picture/shrink';
import { activityMap, darkBackground } from './activity';
import type { Finished, Look, Place } from './finish-shape';
import { finishBox, finishFan } from './finish-shape';
import { withoutTextAbove } from './fit-box';
import type { RowSums } from './fit-fan';
import { rowSums } from './fit-fan';
import type { FittedShape } from './fit-shape';
import { fitShape, onlyIn, scaleBox } from './fit-shape';
import { panelsOf } from './panels';
import type { SectorGeometry, SectorReason } from './sector-geometry';
import { notFound } from './sector-geometry';

const coarseWidth = 200;
const fineWidth = 400;
/** The clip at two sizes; of large pictures the smaller one is made from the larger. */
function bothLooks(frames: readonly GrayFrame[]): { readonly coarse: Look; readonly fine: Look } {
  const first = frames[0] as GrayFrame;
  const shrinker = makeShrinker(first, fineWidth);
  const planes = frames.map((frame) => shrinker.shrink(frame));
  const fine = { ...activityMap(planes), scale: shrinker.scale };
  if (shrinker.scale > 1 && shrinker.width === 2 * coarseWidth)
    return { fine, coarse: { ...activityMap(planes.map(halved)), scale: 2 * shrinker.scale } };
  const small = makeShrinker(first, coarseWidth);
  return {
    fine,
    coarse: { ...activityMap(frames.map((frame) => small.shrink(frame))), scale: small.scale },
  };
}

/**
 * Finds the scanned sector: a fan, one with a flat top, or a box (linear probe). Screens with several pictures are cut first. Six
 * numbers are moved until the sum of activity in the fan is largest, then each border goes to the half height of its step.
 * Annulus-sector fits: Weld et al. 2025, arXiv 2502.09482.
 */
export function detectSectorGeometry(frames: readonly GrayFrame[]): SectorGeometry {
  const usable = usableFrames(frames);
  const first = usable[0];
  if (!first) return notFound('SECTOR_NO_PICTURE');
  const { widthPx, heightPx } = first;
  if (widthPx < 24 || heightPx < 24) return notFound('SECTOR_NOT_FOUND', widthPx, heightPx);
  const chosen = spreadFrames(usable, 8);
  const { coarse, fine } = bothLooks(chosen);
  const background = darkBackground(fine.mean);
  const factor = coarse.scale / fine.scale;
  const panels = panelsOf({ ...coarse, fineMean: fine.mean, fineFactor: factor, background });
  const main = panels[0];
  if (!main) return notFound('SECTOR_NOT_FOUND', widthPx, heightPx);
  const rows = rowSums(onlyIn(coarse.activity, main.region));
  const { best, box } = fitShape(main.tight, rows);
  if (best.score < 0.01 * rows.width * rows.height) return notFound('SECTOR_NOT_FOUND', widthPx, heightPx);
  const reasons: SectorReason[] = [];
  if (usable.length === 1) reasons.push('SECTOR_SINGLE_FRAME');
  if (panels.length > 1) reasons.push('SECTOR_SPLIT_SCREEN');
  const otherPanels = panels.slice(1).map((p) => scaleBox(p.tight, coarse.scale));
  const found = { widthPx, heightPx, otherPanels, reasons };
  const place: Place = { main, fine, factor, background, chosen };
  if (main.banded) return finishBox({ ...box, box: main.banded }, place, found).geometry;
  if (!best.fan) return boxOf(best, rows, place, found).geometry;
  const fan = finishFan(best.fan, place, found);
  if (fan.net > 0.4 || fan.evidence.against < 0.1 || box.score < 0.75 * best.score) return fan.geometry;
  // A fan of which little is seen, over a picture that fills a box: the borders decide.
  const other = boxOf(box, rows, place, found);
  return other.net > fan.net + 0.15 ? other.geometry : fan.geometry;
}

/** The box with or without what may be text above it, by what the borders show. */
function boxOf(
  fitted: FittedShape,
  rows: RowSums,
  place: Place,
  found: Parameters<typeof finishBox>[2],
): Finished {
  const whole = finishBox(fitted, place, found);
  const box = withoutTextAbove(rows, fitted.box);
  if (box === fitted.box) return whole;
  const less = finishBox({ ...fitted, box }, place, found);
  return less.net > whole.net + 0.02 ? less : whole;
}
