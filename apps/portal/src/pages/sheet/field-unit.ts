import type { MeasurementCode } from '@chordae/contract';
import { unitOf } from '@chordae/interpretation';

/** Unit that a bare number takes: the one shown on its field. A ratio has none. */
export function fieldUnit(code: MeasurementCode): string | null {
  const unit = unitOf(code);
  return unit === 'ratio' || unit === 'count' ? null : unit;
}
