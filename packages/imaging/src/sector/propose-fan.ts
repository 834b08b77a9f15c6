import type { FanProposal, FanReason } from '@chordae/contract';
import type { GrayFrame } from '../gray-frame';
import { spreadFrames, usableFrames } from '../gray-frame';
import type { Plane } from '../picture/plane';
import { emptyPlane } from '../picture/plane';
import { makeShrinker } from '../picture/shrink';
import { darkBackground } from './activity';
import { fanOutline } from './fan-outline';
import { pieces } from './pieces';
import type { SectorGeometry } from './sector-geometry';
import { scaledGeometry, sectorMask } from './sector-geometry';

/** Below it a sector is not offered; from the second on it is proposed. Ours, tried on drawn screens and open files. */
const leastOffered = 0.4;
const leastProposed = 0.6;
/** Most of the sector that may lie beyond the picture: what is cut is seldom found rightly. */
const mostClipped = 0.03;
const lookWidth = 400;
const fewestFrames = 4;
/** Levels by which a pixel must change to move: lossy coding and noise of the screen stay below. */
const moving = 36;
/** Moving pixels beside the sector that count, part of the picture: more than a few digits of a clock. */
const movingShare = 0.0006;
/** Levels above the background that a line or an area beside the sector has. */
const bright = 24;
/** Width of one piece beside the sector that is no word any more, and area of one that is a picture; parts of the picture. */
const wideShare = 0.16;
const areaShare = 0.015;
/** What lies so close to the sector still belongs to its border; part of the width. */
const borderShare = 0.012;

/**
 * Whether the sector alone could leave, for pictures whose file does not say where they end. null: none that is sure enough.
 * Not proposed, only offered, where something moves beside it, or a second picture, a long line or a wide area stands there,
 * and on a still, on which that cannot be told: an ECG or a spectrum must not be cut away unseen.
 */
export function proposeFan(frames: readonly GrayFrame[], sector: SectorGeometry): FanProposal | null {
  if (sector.shape !== 'fan' && sector.shape !== 'fan-flat-top') return null;
  if (sector.confidence < leastOffered || sector.clippedFraction > mostClipped) return null;
  const chosen = spreadFrames(usableFrames(frames), 12);
  const first = chosen[0];
  if (!first) return null;
  const reasons = reasonsAgainst(chosen, first, sector);
  const kept = sectorMask(sector, first.widthPx, first.heightPx, 2).reduce((sum, one) => sum + one, 0);
  return {
    outline: fanOutline(sector, 2),
    tightOutline: fanOutline(sector, 0),
    keptShare: kept / (first.widthPx * first.heightPx),
    confidence: sector.confidence,
    proposed: reasons.length === 0,
    reasons,
  };
}

function reasonsAgainst(chosen: readonly GrayFrame[], first: GrayFrame, sector: SectorGeometry): FanReason[] {
  const reasons: FanReason[] = [];
  if (sector.confidence < leastProposed) reasons.push('FAN_UNSURE');
  if (chosen.length < fewestFrames) reasons.push('FAN_STILL');
  if (sector.otherPanels.length > 0) reasons.push('FAN_SECOND_PICTURE');
  const shrinker = makeShrinker(first, lookWidth);
  const planes = chosen.map((frame) => shrinker.shrink(frame));
  const { width, height } = planes[0] as Plane;
  const small = scaledGeometry(sector, 1 / shrinker.scale);
  const inside = sectorMask(small, width, height, borderShare * width);
  const beside = besideIt(planes, inside);
  if (chosen.length >= fewestFrames && beside.moving > movingShare * width * height)
    reasons.push('FAN_MOVES_OUTSIDE');
  const { list } = pieces(beside.bright, 0.5);
  if (list.some((p) => p.x1 - p.x0 > wideShare * width || p.pixels > areaShare * width * height))
    reasons.push('FAN_WIDE_OUTSIDE');
  return reasons;
}

/** What shines and what moves outside the sector. */
function besideIt(
  planes: readonly Plane[],
  inside: Uint8Array,
): { readonly moving: number; readonly bright: Plane } {
  const { width, height } = planes[0] as Plane;
  const shines = emptyPlane(width, height);
  const least = Float32Array.from((planes[0] as Plane).values);
  const most = Float32Array.from(least);
  for (const { values } of planes)
    for (let n = 0; n < most.length; n += 1) {
      const value = values[n] as number;
      if (value > (most[n] as number)) most[n] = value;
      if (value < (least[n] as number)) least[n] = value;
    }
  const background = darkBackground({ width, height, values: most });
  let changing = 0;
  for (let n = 0; n < most.length; n += 1) {
    if (inside[n] === 1) continue;
    if ((most[n] as number) - (least[n] as number) > moving) changing += 1;
    if ((most[n] as number) - background > bright) shines.values[n] = 1;
  }
  return { moving: changing, bright: shines };
}
