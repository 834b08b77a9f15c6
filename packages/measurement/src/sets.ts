import type { FramePoint, MeasurementCode } from '@chordae/contract';

/** One named length of a set. */
export interface SetLength {
  readonly code: MeasurementCode;
  readonly points: readonly [FramePoint, FramePoint];
}

/** Codes between neighbouring borders, from the septum's right side to the free wall's outer side. */
const BETWEEN: Record<'diastole' | 'systole', readonly MeasurementCode[]> = {
  diastole: ['ivsd', 'lvidd', 'lvwd'],
  systole: ['ivss', 'lvids', 'lvws'],
};

/**
 * Lengths of the left ventricle's set from four borders along one line (septum's two sides, free wall's two sides) at one moment, in
 * the order in which they were put; borders not put yet give no length. `along`: 'depth' puts all on the first one's column, as an
 * M-mode line runs. Example: rows 10, 20, 60, 72 give septum 10, cavity 40, free wall 12 pixels.
 */
export function setLengths(
  moment: 'diastole' | 'systole',
  borders: readonly FramePoint[],
  along: 'depth' | 'as-put',
): readonly SetLength[] {
  const x = borders[0]?.x ?? 0;
  const placed = along === 'depth' ? borders.map((p) => ({ x, y: p.y })) : borders;
  return BETWEEN[moment].flatMap((code, n) => {
    const [a, b] = [placed[n], placed[n + 1]];
    return a && b ? [{ code, points: [a, b] as const }] : [];
  });
}
