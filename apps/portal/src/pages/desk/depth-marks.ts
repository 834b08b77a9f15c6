import type { Region } from '@chordae/contract';

export interface DepthMark {
  /** Frame pixels. */
  readonly x: number;
  readonly y: number;
  /** Depth to be written beside it; null for the marks between. */
  readonly cm: number | null;
}

/** Fewest frame pixels between marks: nearer ones would be a grey line. */
const leastPx = 6;

/**
 * The machine's ruler, redrawn from the file's calibration, since what leaves a practice has the machine's own covered: a
 * mark each centimetre down the right edge of a calibrated 2D part, a number each five. Numbers count from the face of the
 * transducer, the reference pixel (PS3.3 C.8.5.5.1.16.1); where that does not lie in the upper half of the part, or is not
 * given, there are marks without numbers.
 */
export function depthMarks(region: Region): DepthMark[] {
  const step = 1 / region.deltaY;
  if (!region.usable || region.kind !== '2d' || region.unitY !== 'cm' || !(step >= leastPx)) return [];
  const high = region.y1 - region.y0;
  const { referenceY, referenceValueY } = region;
  const known = referenceY !== null && referenceY > -high / 2 && referenceY < high / 2;
  const zero = region.y0 + (known ? referenceY - (referenceValueY ?? 0) * step : 0);
  const marks: DepthMark[] = [];
  for (let cm = Math.max(0, Math.ceil((region.y0 - zero) / step)); ; cm += 1) {
    const y = zero + cm * step;
    if (y > region.y1) return marks;
    marks.push({ x: region.x1, y, cm: known && cm % 5 === 0 ? cm : null });
  }
}
