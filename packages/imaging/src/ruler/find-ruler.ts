import { exactExp, exactLog } from '@chordae/units';
import type { GrayFrame } from '../gray-frame';
import { usableFrames } from '../gray-frame';
import { darkBackground } from '../sector/activity';
import type { SectorGeometry } from '../sector/sector-geometry';
import type { Mark } from './marks';
import { smallMarks, stillPicture } from './marks';
import type { Progression } from './progression';
import { bestProgression } from './progression';

export type RulerReason =
  | 'RULER_NOT_FOUND'
  | 'RULER_FEW_TICKS'
  | 'RULER_SLANTED'
  | 'RULER_UNIT_UNSURE'
  | 'RULER_UNIT_TO_CONFIRM';

export interface UnitCandidate {
  readonly tickCm: number;
  readonly pxPerCm: number;
  /** Depth of the sector that this unit would mean, cm. */
  readonly depthCm: number;
  readonly probability: number;
}

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

/** Columns of marks that share a left edge, a right edge or a middle within 1.6 px. */
function columnsOf(marks: readonly Mark[], slant: number): Mark[][] {
  const out: Mark[][] = [];
  const keys = [
    (m: Mark): number => m.left - slant * m.y,
    (m: Mark): number => m.right - slant * m.y,
    (m: Mark): number => (m.left + m.right) / 2 - slant * m.y,
  ];
  for (const key of keys) {
    const sorted = [...marks].sort((a, b) => key(a) - key(b));
    for (let i = 0, j = 0; i < sorted.length; i += 1) {
      j = Math.max(j, i);
      while (j + 1 < sorted.length && key(sorted[j + 1] as Mark) - key(sorted[i] as Mark) <= 3.2) j += 1;
      const previousEnds = i > 0 && key(sorted[j] as Mark) - key(sorted[i - 1] as Mark) <= 3.2;
      if (j - i >= 3 && j - i < 120 && !previousEnds) out.push(sorted.slice(i, j + 1));
    }
  }
  return out;
}

/** Finds the depth ruler in what stands still outside the sector. */
export function findDepthRuler(
  frames: readonly GrayFrame[],
  sector: SectorGeometry,
  options: { readonly expectedDepthCm?: number | null } = {},
): DepthRuler {
  const usable = usableFrames(frames);
  const first = usable[0];
  if (!first || sector.shape === 'none') return missing;
  const still = stillPicture(usable);
  const background = darkBackground({
    width: still.widthPx,
    height: still.heightPx,
    values: Float32Array.from(still.luma),
  });
  const faceY = sector.shape === 'box' ? sector.box.y0 : sector.apexYPx + sector.innerRadiusPx;
  const bottomY = sector.shape === 'box' ? sector.box.y1 : sector.apexYPx + sector.outerRadiusPx;
  const place = { topPx: faceY, bottomPx: Math.min(first.heightPx, bottomY), heightPx: first.heightPx };
  let best: { series: Progression; slant: number } | null = null;
  const levels = [28, 60, 110].map((above) => smallMarks(still, sector, background, above));
  const search = (slant: number): void => {
    for (const marks of levels) {
      // A screen full of small marks (noise, a page of text) has no ruler that could be told apart.
      if (marks.length > (slant === 0 ? 1200 : 250)) continue;
      for (const column of columnsOf(marks, slant)) {
        const series = bestProgression(column, place);
        if (series && (!best || series.score > best.series.score + (slant === 0 ? 0 : 1)))
          best = { series, slant };
      }
    }
  };
  search(0);
  if (!best || (best as { series: Progression }).series.score < 5.5)
    for (let n = 1; n <= 16; n += 1) for (const sign of [1, -1]) search(sign * n * 0.0087);
  const found = best as { series: Progression; slant: number } | null;
  if (!found || found.series.score < 4.5) return missing;
  return described(found.series, found.slant, bottomY - faceY, options.expectedDepthCm ?? null);
}

function described(
  series: Progression,
  slant: number,
  sectorDepthPx: number,
  expectedCm: number | null,
): DepthRuler {
  const majorEvery = majorPattern(series);
  // Along the slanted ruler a pitch is longer than its part down the screen.
  const pitch = series.pitchPx * Math.sqrt(1 + slant * slant);
  const unitCandidates = candidates(pitch, sectorDepthPx, majorEvery, expectedCm);
  const reasons: RulerReason[] = ['RULER_UNIT_TO_CONFIRM'];
  if (series.marks.length < 6) reasons.push('RULER_FEW_TICKS');
  if (slant !== 0) reasons.push('RULER_SLANTED');
  if ((unitCandidates[0]?.probability ?? 0) < 0.8) reasons.push('RULER_UNIT_UNSURE');
  return {
    found: true,
    pxPerTick: pitch,
    sePx: series.sePx,
    firstTickYPx: series.firstYPx,
    xPx: series.xPx,
    ticks: series.marks.length,
    majorEvery,
    slantRad: slant,
    unitCandidates,
    confidence: Math.max(0, Math.min(1, (series.score - 3) / 6)),
    reasons,
  };
}

/** Every how many ticks a larger one stands; null where all are alike. */
function majorPattern(series: Progression): number | null {
  const sizes = series.marks.map(({ mark }) => (mark.right - mark.left) * (mark.bottom - mark.top));
  const usual = [...sizes].sort((a, b) => a - b)[sizes.length >> 1] as number;
  const large = series.marks.filter((_, n) => (sizes[n] as number) > 1.4 * usual).map(({ k }) => k);
  if (large.length < 2) return null;
  for (const every of [10, 5, 4, 2]) {
    const phase = (large[0] as number) % every;
    const right = large.filter((k) => k % every === phase).length;
    const wanted = series.marks.filter(({ k }) => k % every === phase).length;
    if (right === large.length && right >= 0.75 * wanted) return every;
  }
  return null;
}

function candidates(
  pitch: number,
  depthPx: number,
  majorEvery: number | null,
  expectedCm: number | null,
): UnitCandidate[] {
  const middle = exactLog(expectedCm ?? 8);
  const sd = expectedCm === null ? 0.55 : 0.28;
  const weighed = [1, 0.5, 2, 0.1, 5].map((tickCm) => {
    const pxPerCm = pitch / tickCm;
    const depthCm = depthPx / pxPerCm;
    const z = (exactLog(Math.max(1e-6, depthCm)) - middle) / sd;
    let weight = exactExp(Math.max(-40, -0.5 * z * z)) * ({ 1: 1, 0.5: 0.6 }[tickCm] ?? 0.25);
    if (majorEvery === 5) weight *= tickCm === 1 ? 4 : tickCm === 0.1 ? 1.5 : 1;
    if (majorEvery === 2) weight *= tickCm === 0.5 ? 4 : 1;
    if (majorEvery === 10) weight *= tickCm === 0.5 || tickCm === 0.1 ? 3 : 1;
    return { tickCm, pxPerCm, depthCm, weight };
  });
  const total = weighed.reduce((sum, c) => sum + c.weight, 0);
  return weighed
    .map(({ weight, ...rest }) => ({ ...rest, probability: total > 0 ? weight / total : 0 }))
    .sort((a, b) => b.probability - a.probability);
}
