import type { FramePoint } from '@chordae/contract';
import type { Mm } from '@chordae/units';

export type { FramePoint };

/** A place in the animal relative to a region's reference: mm, or ms across a time axis. Never mixed with pixels. */
export interface PhysicalPoint {
  readonly x: number;
  readonly y: number;
  readonly unitX: 'mm' | 'ms';
  readonly unitY: 'mm' | 'cm/s';
}

/** Why no number is given. */
export type MeasuringFinding =
  | 'CALIBRATION_MISSING'
  | 'CALIBRATION_IMPLAUSIBLE'
  | 'POINTS_IN_DIFFERENT_REGIONS'
  | 'REGION_WITHOUT_LENGTH'
  | 'REGION_WITHOUT_TIME'
  | 'REGION_WITHOUT_VELOCITY'
  | 'BASELINE_MISSING'
  | 'TIME_SPAN_ZERO'
  | 'BEATS_MISSING'
  | 'POINTS_MISSING'
  | 'REGION_WITHOUT_AREA'
  | 'REGION_WITHOUT_SLOPE'
  | 'DRAWING_WITHOUT_SIZE'
  | 'FLOW_MISSING'
  | 'AXIS_OUTSIDE_WALL'
  | 'LONG_AXES_DIFFER';

export type Measured<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly finding: MeasuringFinding };

/** Least and greatest length that the pixels allow. */
export interface LengthInterval {
  readonly least: Mm;
  readonly most: Mm;
}

export function found<T>(value: T): Measured<T> {
  return { ok: true, value };
}

export function unmeasured(finding: MeasuringFinding): {
  readonly ok: false;
  readonly finding: MeasuringFinding;
} {
  return { ok: false, finding };
}
