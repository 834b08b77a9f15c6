import type { HeartCycle } from '../cycle/heart-cycle';
import type { GrayFrame } from '../gray-frame';
import { spreadFrames } from '../gray-frame';
import type { SectorGeometry } from '../sector/sector-geometry';
import { sectorMask } from '../sector/sector-geometry';
import type { LvTrace } from '../short-axis/lv-trace';

export type QualityCode =
  | 'GAIN_LOW'
  | 'GAIN_HIGH'
  | 'FRAMES_PER_BEAT_LOW'
  | 'LOOP_SHORT'
  | 'SECTOR_CLIPPED'
  | 'DEPTH_SMALL'
  | 'DEPTH_LARGE'
  | 'FRAMES_REPEATED'
  | 'STILL_TEXT_INSIDE';

export interface QualityMark {
  readonly code: QualityCode;
  /** What was measured and the limit that it passed. */
  readonly value: number;
  readonly limit: number;
  readonly confidence: number;
}

/** Greys of the sector over a few frames. */
export interface GreyLevels {
  /** 75th and 8th centile: tissue and blood. */
  readonly tissue: number;
  readonly blood: number;
  /** Share of pixels below 6 and above 245. */
  readonly dark: number;
  readonly saturated: number;
}

/** About 9,000 samples inside the sector. */
export function greyLevels(frames: readonly GrayFrame[], sector: SectorGeometry): GreyLevels | null {
  const first = frames[0];
  if (!first || sector.shape === 'none') return null;
  const { widthPx, heightPx } = first;
  const mask = sectorMask(sector, widthPx, heightPx, -2);
  const inside: number[] = [];
  for (let n = 0; n < mask.length; n += 1) if (mask[n] === 1) inside.push(n);
  if (inside.length < 50) return null;
  const chosen = spreadFrames(frames, 3);
  const step = Math.max(1, (inside.length * chosen.length) / 9000);
  const counts = new Float64Array(256);
  let total = 0;
  for (let at = 0; at < inside.length * chosen.length; at += step) {
    const n = Math.floor(at);
    const frame = chosen[n % chosen.length] as GrayFrame;
    const v = frame.luma[inside[Math.floor(n / chosen.length)] as number] as number;
    counts[v] = (counts[v] as number) + 1;
    total += 1;
  }
  const centile = (share: number): number => {
    let sum = 0;
    for (let v = 0; v < 256; v += 1) {
      sum += counts[v] as number;
      if (sum >= share * total) return v;
    }
    return 255;
  };
  const part = (from: number, to: number): number => {
    let sum = 0;
    for (let v = from; v < to; v += 1) sum += counts[v] as number;
    return sum / total;
  };
  return { tissue: centile(0.75), blood: centile(0.08), dark: part(0, 6), saturated: part(246, 256) };
}

/** Limits chosen on the developing phantoms; the open real clips are darker than they, so a low mark is sure only far below its limit (0.5 at half of it). To be fitted again on real clips. */
export const gainLimits = { tissueLow: 78, darkHigh: 0.3, saturatedHigh: 0.05, bloodHigh: 95 } as const;

function gainMarks(levels: GreyLevels | null): QualityMark[] {
  if (!levels) return [];
  if (levels.saturated > gainLimits.saturatedHigh)
    return [{ code: 'GAIN_HIGH', value: levels.saturated, limit: gainLimits.saturatedHigh, confidence: 0.6 }];
  if (levels.blood > gainLimits.bloodHigh)
    return [{ code: 'GAIN_HIGH', value: levels.blood, limit: gainLimits.bloodHigh, confidence: 0.5 }];
  if (levels.tissue < gainLimits.tissueLow)
    return [
      {
        code: 'GAIN_LOW',
        value: levels.tissue,
        limit: gainLimits.tissueLow,
        confidence: 1 - levels.tissue / gainLimits.tissueLow,
      },
    ];
  if (levels.dark > gainLimits.darkHigh)
    return [
      {
        code: 'GAIN_LOW',
        value: levels.dark,
        limit: gainLimits.darkHigh,
        confidence: Math.min(0.9, levels.dark),
      },
    ];
  return [];
}

/** Share of frames that (nearly) repeat the one before: a screen filmed at another rate, or an export that doubles frames. */
export function repeatedShare(frames: readonly GrayFrame[]): number {
  if (frames.length < 4) return 0;
  const changes: number[] = [];
  for (let k = 1; k < frames.length; k += 1) {
    const a = (frames[k - 1] as GrayFrame).luma;
    const b = (frames[k] as GrayFrame).luma;
    let sum = 0;
    let count = 0;
    for (let n = 0; n < a.length; n += 7) {
      sum += Math.abs((a[n] as number) - (b[n] as number));
      count += 1;
    }
    changes.push(sum / count);
  }
  const usual = [...changes].sort((a, b) => a - b)[Math.floor(0.75 * changes.length)] as number;
  if (usual < 0.05) return 0;
  return changes.filter((c) => c < 0.15 * usual).length / changes.length;
}

/** Frames per beat below which timing and function are doubtful. */
export const fewFramesPerBeat = 12;

/** Whether a clip suffices for what is asked of it; each mark with the number that it rests on. */
export function markCineQuality(
  frames: readonly GrayFrame[],
  sector: SectorGeometry,
  cycle: HeartCycle,
  trace: LvTrace | null = null,
): QualityMark[] {
  const marks = gainMarks(greyLevels(frames, sector));
  if (sector.shape !== 'none' && sector.clippedFraction > 0.03)
    marks.push({
      code: 'SECTOR_CLIPPED',
      value: sector.clippedFraction,
      limit: 0.03,
      confidence: sector.confidence,
    });
  const perBeat = cycle.framesPerBeat;
  if (perBeat !== null && perBeat < fewFramesPerBeat)
    marks.push({
      code: 'FRAMES_PER_BEAT_LOW',
      value: perBeat,
      limit: fewFramesPerBeat,
      confidence: cycle.confidence,
    });
  if (frames.length > 1 && cycle.reasons.includes('CYCLE_LOOP_SHORT'))
    marks.push({ code: 'LOOP_SHORT', value: frames.length, limit: 1.3, confidence: 0.6 });
  const repeated = repeatedShare(frames);
  if (repeated > 0.12) marks.push({ code: 'FRAMES_REPEATED', value: repeated, limit: 0.12, confidence: 0.8 });
  return [...marks, ...depthMarks(sector, trace)];
}

/** The left ventricle with its wall against the depth shown: too small a heart wastes resolution, one that reaches the edge is cut. */
function depthMarks(sector: SectorGeometry, trace: LvTrace | null): QualityMark[] {
  const ed = trace?.endDiastole;
  if (!trace || !ed || sector.shape === 'none' || trace.seedLead < 0.1) return [];
  const depth = sector.box.y1 - sector.box.y0;
  const reach = ed.ellipse.radius * Math.min(3, trace.wallFactor);
  const share = (2 * reach) / depth;
  if (share < 0.28) return [{ code: 'DEPTH_LARGE', value: share, limit: 0.28, confidence: 0.5 }];
  const bottom = (ed.ellipse.cy + reach - sector.box.y0) / depth;
  if (bottom > 1.01) return [{ code: 'DEPTH_SMALL', value: bottom, limit: 1.01, confidence: 0.5 }];
  return [];
}
