import { exactAtan, exactExp, exactLog } from '@chordae/units';
import type { GrayFrame } from '../gray-frame';
import { markFactor, reducedFrame, spreadFrames, usableFrames } from '../gray-frame';
import { darkBackground } from '../sector/activity';
import type { SectorGeometry } from '../sector/sector-geometry';
import { scaledGeometry } from '../sector/sector-geometry';
import type { TickLabel } from './labels';
import { tickLabels } from './labels';
import { stillPicture } from './marks';
import type { TickRow } from './search';
import { findTickRow } from './search';
import type { UnitCandidate } from './unit';
import { majorPattern, unitCandidates } from './unit';

export type RulerReason =
  | 'RULER_NOT_FOUND'
  | 'RULER_FEW_TICKS'
  | 'RULER_SLANTED'
  | 'RULER_UNIT_UNSURE'
  | 'RULER_UNIT_TO_CONFIRM';

export type { UnitCandidate };

/** Depth marks beside the sector. Never a calibration by themselves: a person confirms the unit. */
export interface DepthRuler {
  readonly found: boolean;
  readonly pxPerTick: number | null;
  readonly sePx: number | null;
  readonly firstTickYPx: number | null;
  readonly xPx: number | null;
  readonly ticks: number;
  readonly majorEvery: number | null;
  readonly slantRad: number;
  readonly unitCandidates: readonly UnitCandidate[];
  readonly confidence: number;
  readonly reasons: readonly RulerReason[];
}

const missing: DepthRuler = {
  found: false,
  pxPerTick: null,
  sePx: null,
  firstTickYPx: null,
  xPx: null,
  ticks: 0,
  majorEvery: null,
  slantRad: 0,
  unitCandidates: [],
  confidence: 0,
  reasons: ['RULER_NOT_FOUND'],
};

/** Depth that a heart of this animal is usually scanned at, cm: 4.5 · kg^0.3 in dogs, 3.2 · kg^0.3 in cats, a third more from the apex (measured on our phantoms; common practice). */
export function expectedDepthCm(
  species: string | null,
  weightKg: number | null,
  view: string | null = null,
): number | null {
  if (weightKg === null || !(weightKg > 0) || !Number.isFinite(weightKg)) return null;
  if (species !== 'dog' && species !== 'cat') return null;
  const apical = view?.startsWith('lap') === true ? 1.37 : 1;
  return apical * (species === 'dog' ? 4.5 : 3.2) * exactExp(0.3 * exactLog(weightKg));
}

/** Finds the depth ruler in what stands still outside the sector. */
export function findDepthRuler(
  frames: readonly GrayFrame[],
  sector: SectorGeometry,
  options: { readonly expectedDepthCm?: number | null } = {},
): DepthRuler {
  const usable = spreadFrames(usableFrames(frames), 6);
  const first = usable[0];
  if (!first || sector.shape === 'none') return missing;
  const factor = markFactor(first);
  if (factor === 1) return rulerIn(usable, sector, options.expectedDepthCm ?? null);
  const small = usable.map((frame) => reducedFrame(frame, factor));
  return enlarged(
    rulerIn(small, scaledGeometry(sector, 1 / factor), options.expectedDepthCm ?? null),
    factor,
  );
}

function enlarged(ruler: DepthRuler, factor: number): DepthRuler {
  const times = (value: number | null): number | null => (value === null ? null : value * factor);
  return {
    ...ruler,
    pxPerTick: times(ruler.pxPerTick),
    sePx: times(ruler.sePx),
    firstTickYPx: times(ruler.firstTickYPx),
    xPx: times(ruler.xPx),
    unitCandidates: ruler.unitCandidates.map((c) => ({ ...c, pxPerCm: c.pxPerCm * factor })),
  };
}

function rulerIn(
  usable: readonly GrayFrame[],
  sector: SectorGeometry,
  expectedCm: number | null,
): DepthRuler {
  const still = stillPicture(usable);
  const plane = {
    width: still.widthPx,
    height: still.heightPx,
    values: Float32Array.from(still.luma),
  };
  const background = darkBackground(plane);
  const row = findTickRow({ still, plane, background, sector });
  if (!row) return missing;
  const labels = tickLabels(plane, background, row);
  const depthPx =
    sector.shape === 'box' ? sector.box.y1 - sector.box.y0 : sector.outerRadiusPx - sector.innerRadiusPx;
  return described(row, depthPx, labels, expectedCm);
}

function described(
  row: TickRow,
  sectorDepthPx: number,
  labels: readonly TickLabel[],
  expectedCm: number | null,
): DepthRuler {
  const { series, slant, ticks } = row;
  const majorEvery = majorPattern(series);
  const skinTick = Math.round(row.skinAt);
  const candidates = unitCandidates(row.pitchPx, sectorDepthPx, {
    majorEvery,
    expectedCm,
    labels,
    skinTick: Math.abs(row.skinAt - skinTick) < 0.3 ? skinTick : null,
  });
  const reasons: RulerReason[] = ['RULER_UNIT_TO_CONFIRM'];
  if (series.marks.length < 6) reasons.push('RULER_FEW_TICKS');
  if (slant !== 0) reasons.push('RULER_SLANTED');
  if ((candidates[0]?.probability ?? 0) < 0.8) reasons.push('RULER_UNIT_UNSURE');
  return {
    found: true,
    pxPerTick: row.pitchPx,
    sePx: series.sePx,
    firstTickYPx: ticks[0]?.y ?? null,
    xPx: ticks.reduce((sum, t) => sum + t.x, 0) / ticks.length,
    ticks: series.marks.length,
    majorEvery,
    slantRad: exactAtan(slant),
    unitCandidates: candidates,
    confidence: Math.max(0, Math.min(1, (series.score - 3) / 6)),
    reasons,
  };
}
