import type { Assessment, Species, ViewId } from '@chordae/contract';
import { assessAorticRoot, rootUnseen } from '../aortic-root/assess-root';
import { estimateHeartCycle, usualFrameTime } from '../cycle/heart-cycle';
import type { GrayFrame } from '../gray-frame';
import { usableFrames } from '../gray-frame';
import { assessLongAxis } from '../long-axis/assess-long-axis';
import type { WorkingClip } from '../picture/working';
import { makeWorkingClip } from '../picture/working';
import type { QualityMark } from '../quality/quality-marks';
import { markCineQuality } from '../quality/quality-marks';
import type { DepthRuler } from '../ruler/find-ruler';
import { expectedDepthCm, findDepthRuler } from '../ruler/find-ruler';
import { detectSectorGeometry } from '../sector/detect-sector';
import type { SectorGeometry } from '../sector/sector-geometry';
import { findStillText } from '../sector/still-text';
import { noTrace } from '../short-axis/lv-trace';
import { traceWorkingClip } from '../short-axis/trace';
import { imagingEngine } from './engine';
import { shortAxisPart } from './short-axis-part';

export interface AssessOptions {
  /** Start of each frame, ms; null where the file does not say. */
  readonly frameTimesMs: readonly number[] | null;
  readonly rWaveTimesMs?: readonly number[];
  /** The file's own calibration. */
  readonly pxPerCm?: number | null;
  readonly view?: ViewId | null;
  readonly species?: Species | null;
  readonly weightKg?: number | null;
}

/** Frames that are looked at in one clip; of longer ones the first so many. */
export const mostFrames = 240;

/** Views in which an outline of the left ventricle is traced; without a view all short-axis reading is left out. */
const shortAxisViews: readonly string[] = ['rps-short-papillary', 'rps-short-chordae'];
const longAxisViews: readonly string[] = ['rps-long-4ch'];
const rootView = 'rps-short-aortic';
/** Views whose dark area does not tell the moments of the beat. */
const withoutMoments: readonly string[] = [
  rootView,
  'rps-short-pulmonary',
  'lung-points',
  'effusion-sweep',
  'lcr-base',
];

/**
 * All that the pictures of a clip say, whatever they are: empty, one frame, one colour, of any size. Never throws for what a clinic
 * may send; every number is finite or null. The view decides what is asked; without one only what holds for any clip.
 */
export function assessClip(frames: readonly GrayFrame[], options: AssessOptions): Assessment {
  const usable = usableFrames(frames).slice(0, mostFrames);
  const view = options.view ?? null;
  const sector = detectSectorGeometry(usable);
  const expected = expectedDepthCm(options.species ?? null, options.weightKg ?? null, view);
  const ruler = findDepthRuler(usable, sector, { expectedDepthCm: expected });
  const clip = sector.shape === 'none' ? null : makeWorkingClip(usable, sector);
  const isShortAxis = view !== null && shortAxisViews.includes(view);
  const trace = clip && isShortAxis ? traceWorkingClip(clip) : null;
  const cycle = estimateHeartCycle(clip ?? noClip, {
    frameTimesMs: goodTimes(options.frameTimesMs, usable.length),
    rWaveTimesMs: options.rWaveTimesMs,
    areaCurve: trace?.frames ? trace.bloodAreaCurve : null,
    outlineAreas: trace?.frames?.map((f) => f.areaPx2) ?? null,
    offerMoments: view === null || !withoutMoments.includes(view),
  });
  const text = findStillText(usable, sector);
  const quality: QualityMark[] = markCineQuality(usable, sector, cycle, trace);
  if (text.length > 0)
    quality.push({ code: 'STILL_TEXT_INSIDE', value: text.length, limit: 0, confidence: 0.6 });
  return {
    schema: 1,
    engine: imagingEngine,
    frameCount: usable.length,
    view,
    sector: sectorPart(sector, text),
    ruler: { ...ruler, unitCandidates: [...ruler.unitCandidates], reasons: [...ruler.reasons] },
    calibration: calibrationPart(options.pxPerCm ?? null, ruler),
    cycle: {
      ...cycle,
      endDiastoleFrames: [...cycle.endDiastoleFrames],
      endSystoleFrames: [...cycle.endSystoleFrames],
      reasons: [...cycle.reasons],
    },
    quality: quality.map((mark) => ({ ...mark })),
    shortAxis: isShortAxis ? shortAxisPart(usable, trace ?? noTrace, cycle) : null,
    aorticRoot: view === rootView ? (clip ? assessAorticRoot(clip) : rootUnseen) : null,
    longAxis: view !== null && longAxisViews.includes(view) ? assessLongAxis(clip ?? noClip) : null,
    developedOnSyntheticClips: true,
  };
}

const noClip: WorkingClip = {
  width: 1,
  height: 1,
  frames: [],
  mask: new Uint8Array(1),
  scale: 1,
  window: { x0: 0, y0: 0, x1: 1, y1: 1 },
  brightLimit: 20,
};

function goodTimes(times: readonly number[] | null, count: number): readonly number[] | null {
  if (!times || !times.every((t) => Number.isFinite(t))) return null;
  return usualFrameTime(times, count) === null ? null : times;
}

function sectorPart(
  sector: SectorGeometry,
  stillText: ReturnType<typeof findStillText>,
): Assessment['sector'] {
  return {
    ...sector,
    box: { ...sector.box },
    otherPanels: sector.otherPanels.map((box) => ({ ...box })),
    stillText: stillText.map((box) => ({ ...box })),
    reasons: [...sector.reasons],
  };
}

/** Only the file's own calibration counts; a ruler can contradict it, never replace it. */
function calibrationPart(pxPerCm: number | null, ruler: DepthRuler): Assessment['calibration'] {
  if (pxPerCm === null || !(pxPerCm > 0) || !Number.isFinite(pxPerCm))
    return { pxPerCm: null, reasons: [ruler.found ? 'CALIBRATION_NEEDS_PERSON' : 'CALIBRATION_MISSING'] };
  const fits = ruler.unitCandidates.some((c) => Math.abs(c.pxPerCm / pxPerCm - 1) < 0.03);
  const differs = ruler.found && ruler.confidence > 0.5 && !fits;
  return {
    pxPerCm,
    reasons: differs
      ? ['CALIBRATION_FROM_FILE', 'CALIBRATION_DIFFERS_FROM_RULER']
      : ['CALIBRATION_FROM_FILE'],
  };
}
