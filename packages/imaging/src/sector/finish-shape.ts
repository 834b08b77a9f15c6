import type { GrayFrame } from '../gray-frame';
import type { Plane } from '../picture/plane';
import { blur } from '../picture/plane';
import { makeShrinker } from '../picture/shrink';
import type { BorderEvidence } from './border-evidence';
import { borderEvidence } from './border-evidence';
import { sharpenBorders, sharpenBox } from './borders';
import type { FanShape } from './fan-shape';
import { fanAreas, scaleFan } from './fan-shape';
import type { Box } from './fit-fan';
import { climb, rowSums } from './fit-fan';
import type { FittedShape } from './fit-shape';
import { areaOf, onlyIn, scaleBox } from './fit-shape';
import { meanFrame } from './mean-frame';
import type { Panel } from './panels';
import type { SectorGeometry } from './sector-geometry';
import { anglesOf, fanBox, notFound } from './sector-geometry';

const borderWidth = 900;

/** A size of the clip that is computed on. */
export interface Look {
  readonly activity: Plane;
  readonly mean: Plane;
  /** Pixels of the original per pixel. */
  readonly scale: number;
}

/** Where a shape was fitted, and what it is finished on. */
export interface Place {
  readonly main: Panel;
  readonly fine: Look;
  /** Fine pixels per coarse one. */
  readonly factor: number;
  readonly background: number;
  readonly chosen: readonly GrayFrame[];
}

type Found = Pick<SectorGeometry, 'widthPx' | 'heightPx' | 'otherPanels' | 'reasons'>;

/** A finished sector and what its borders show; `net`: borders seen less those that the picture runs over. */
export interface Finished {
  readonly geometry: SectorGeometry;
  readonly evidence: BorderEvidence;
  readonly net: number;
}

function sharpPicture({ chosen }: Place): { readonly picture: Plane; readonly scale: number } {
  const mean = meanFrame(chosen);
  const shrinker = makeShrinker(mean, borderWidth);
  return { picture: blur(shrinker.shrink(mean), 1, 1), scale: shrinker.scale };
}

/** Borders seen, less those that the picture runs over, by all that could be seen; a third of what is dark counts as unseen. */
function gradeOf({ seen, against, dark }: BorderEvidence): number {
  return Math.max(0, Math.min(1, (seen - against) / Math.max(0.01, seen + against + 0.35 * dark)));
}

/** Brings a fitted box to the half height of its borders' steps. */
export function finishBox(coarse: FittedShape, place: Place, found: Found): Finished {
  const { widthPx, heightPx } = found;
  const { fine } = place;
  const sharp = sharpPicture(place);
  const start = scaleBox(coarse.box, (place.factor * fine.scale) / sharp.scale);
  const box = scaleBox(sharpenBox(start, sharp.picture).box, sharp.scale);
  const evidence = borderEvidence(scaleBox(box, 1 / fine.scale), fine.mean, place.background);
  const geometry: SectorGeometry = {
    ...notFound('SECTOR_NOT_FOUND', widthPx, heightPx),
    ...found,
    shape: 'box',
    box: cutToPicture(box, widthPx, heightPx),
    confidence: gradeOf(evidence) * Math.max(0, Math.min(1, coarse.score / (0.5 * areaOf(coarse.box)))),
  };
  return { geometry, evidence, net: evidence.seen - evidence.against };
}

function cutToPicture({ x0, y0, x1, y1 }: Box, widthPx: number, heightPx: number): Box {
  return { x0: Math.max(0, x0), y0: Math.max(0, y0), x1: Math.min(widthPx, x1), y1: Math.min(heightPx, y1) };
}

/** Fits a coarse fan on the finer map, then brings it to the half height of its borders' steps. */
export function finishFan(coarse: FanShape, place: Place, found: Found): Finished {
  const { widthPx, heightPx } = found;
  const { fine, factor, main } = place;
  const rows = rowSums(onlyIn(fine.activity, scaleBox(main.region, factor)));
  const refined = climb(scaleFan(coarse, factor), rows, 2, 0.25);
  const sharp = sharpPicture(place);
  const { fan, contrast } = sharpenBorders(scaleFan(refined.fan, fine.scale / sharp.scale), sharp.picture);
  const exact = scaleFan(fan, sharp.scale);
  const areas = fanAreas(exact, widthPx, heightPx);
  const clippedFraction = areas.total > 0 ? areas.outside / areas.total : 0;
  const total = fanAreas(refined.fan, rows.width, rows.height);
  const inside = refined.score / Math.max(1, total.total - total.outside) + 0.22;
  const evidence = borderEvidence(scaleFan(exact, 1 / fine.scale), fine.mean, place.background);
  const borders = Math.sqrt(Math.max(0, Math.min(1, contrast * 1.25)) * gradeOf(evidence));
  const reasons = [...found.reasons];
  if (contrast < 0.35) reasons.push('SECTOR_BORDER_FAINT');
  if (clippedFraction > 0.03) reasons.push('SECTOR_CLIPPED');
  const geometry: SectorGeometry = {
    ...found,
    reasons,
    shape: exact.flatTop ? 'fan-flat-top' : 'fan',
    apexXPx: exact.apexX,
    apexYPx: exact.apexY,
    ...anglesOf(exact),
    innerRadiusPx: exact.inner,
    outerRadiusPx: exact.outer,
    box: fanBox(exact, widthPx, heightPx),
    confidence: borders * Math.max(0, Math.min(1, inside / 0.5)) * wholeness(exact),
    clippedFraction,
  };
  return { geometry, evidence, net: evidence.seen - evidence.against };
}

/** A bright near field alone is no sector: far less deep than it is wide, 0 to 1. */
function wholeness({ left, right, inner, outer }: FanShape): number {
  const across = (slope: number): number => (outer * slope) / Math.sqrt(1 + slope * slope);
  const part = (outer - inner) / Math.max(1, 0.55 * (across(right) - across(left)));
  return Math.min(1, part * part);
}
