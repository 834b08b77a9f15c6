import type { FramePoint, Region } from '@chordae/contract';
import type { Measured } from './points';
import { found, unmeasured } from './points';
import { regionAt, regionOfBoth } from './region-at';

/** Time between two points along a time axis (M-mode, spectral, trace), ms. Example: 100 pixels at 0.006 s are 600 ms. */
export function timeSpanMs(regions: readonly Region[], a: FramePoint, b: FramePoint): Measured<number> {
  const region = regionOfBoth(regions, a, b);
  if (!region.ok) return region;
  if (region.value.unitX !== 's') return unmeasured('REGION_WITHOUT_TIME');
  return found(Math.abs((b.x - a.x) * region.value.deltaX) * 1000);
}

/** Rate from the span of one beat, per minute. Example: 600 ms is 100 a minute. */
export function ratePerMinute(spanMs: number): Measured<number> {
  return spanMs > 0 ? found(60_000 / spanMs) : unmeasured('TIME_SPAN_ZERO');
}

/**
 * Velocity at a point of a spectral region, cm/s, signed (towards the probe is positive). Needs the baseline
 * (Reference Pixel Y0), which must lie inside the region; a frequency scale gives no velocity.
 */
export function velocityCmS(regions: readonly Region[], point: FramePoint): Measured<number> {
  const region = regionAt(regions, point);
  if (region === null) return unmeasured('CALIBRATION_MISSING');
  if (!region.usable) return unmeasured('CALIBRATION_IMPLAUSIBLE');
  if (region.unitY !== 'cm/s' || (region.kind !== 'spectral' && region.kind !== 'trace'))
    return unmeasured('REGION_WITHOUT_VELOCITY');
  const { referenceY } = region;
  if (referenceY === null) return unmeasured('BASELINE_MISSING');
  if (referenceY < 0 || referenceY > region.y1 - region.y0) return unmeasured('CALIBRATION_IMPLAUSIBLE');
  return found((region.referenceValueY ?? 0) + (point.y - region.y0 - referenceY) * region.deltaY);
}

/**
 * Slope between two points: cm/s in M-mode, cm/s² in a spectral region; the sign of the time axis is taken off, so
 * rising to the right on the picture is positive depth per time as the deltas say.
 */
export function slopePerSecond(regions: readonly Region[], a: FramePoint, b: FramePoint): Measured<number> {
  const region = regionOfBoth(regions, a, b);
  if (!region.ok) return region;
  const { unitX, unitY, deltaX, deltaY } = region.value;
  if (unitX !== 's') return unmeasured('REGION_WITHOUT_TIME');
  if (unitY !== 'cm' && unitY !== 'cm/s') return unmeasured('REGION_WITHOUT_LENGTH');
  const seconds = (b.x - a.x) * deltaX;
  return seconds === 0 ? unmeasured('TIME_SPAN_ZERO') : found(((b.y - a.y) * deltaY) / seconds);
}
