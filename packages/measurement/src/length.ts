import type { FramePoint, Region } from '@chordae/contract';
import type { Mm } from '@chordae/units';
import { cm, mm, mmFromCm } from '@chordae/units';
import type { LengthInterval, Measured, PhysicalPoint } from './points';
import { found, unmeasured } from './points';
import { regionAt, regionOfBoth } from './region-at';

/** hypot with the same bits on every machine: only + × √. */
function hypotenuse(x: number, y: number): number {
  return Math.sqrt(x * x + y * y);
}

/**
 * Distance between two points of a frame, in mm: along both axes in a 2D region, along the depth axis only in an
 * M-mode region (PS3.3 C.8.5.5.1.17; signs of the deltas do not matter).
 * Example: 30 and 40 pixels apart at 0.08 cm a pixel are 40 mm.
 */
export function lengthMm(regions: readonly Region[], a: FramePoint, b: FramePoint): Measured<Mm> {
  const region = regionOfBoth(regions, a, b);
  if (!region.ok) return region;
  const scale = lengthScale(region.value);
  if (scale === null) return unmeasured('REGION_WITHOUT_LENGTH');
  return found(mmFromCm(cm(hypotenuse((b.x - a.x) * scale.x, (b.y - a.y) * scale.y))));
}

/** cm per pixel in each direction in which a length may be taken (0 where not). */
function lengthScale(region: Region): { readonly x: number; readonly y: number } | null {
  if (region.unitY !== 'cm') return null;
  if (region.kind === '2d' && region.unitX === 'cm') return { x: region.deltaX, y: region.deltaY };
  return region.kind === 'm-mode' ? { x: 0, y: region.deltaY } : null;
}

/** What the length may be when each end is known only to its pixel: half a pixel at each end, in each direction. */
export function lengthIntervalMm(
  regions: readonly Region[],
  a: FramePoint,
  b: FramePoint,
): Measured<LengthInterval> {
  const region = regionOfBoth(regions, a, b);
  if (!region.ok) return region;
  const scale = lengthScale(region.value);
  if (scale === null) return unmeasured('REGION_WITHOUT_LENGTH');
  const [dx, dy] = [Math.abs(b.x - a.x), Math.abs(b.y - a.y)];
  const span = (change: number): Mm =>
    mm(10 * hypotenuse(Math.max(0, dx + change) * scale.x, Math.max(0, dy + change) * scale.y));
  return found({ least: span(-1), most: span(1) });
}

/** A frame point in mm or ms from the reference pixel (PS3.3 C.8.5.5.1.14); without a reference, from the region's corner. */
export function physicalPoint(regions: readonly Region[], point: FramePoint): Measured<PhysicalPoint> {
  const region = regionAt(regions, point);
  if (region === null) return unmeasured('CALIBRATION_MISSING');
  if (!region.usable) return unmeasured('CALIBRATION_IMPLAUSIBLE');
  const x = (region.referenceValueX ?? 0) + (point.x - region.x0 - (region.referenceX ?? 0)) * region.deltaX;
  const y = (region.referenceValueY ?? 0) + (point.y - region.y0 - (region.referenceY ?? 0)) * region.deltaY;
  const timeAxis = region.unitX === 's';
  const velocity = region.unitY === 'cm/s';
  if (velocity && region.referenceY === null) return unmeasured('BASELINE_MISSING');
  if (!velocity && region.unitY !== 'cm') return unmeasured('REGION_WITHOUT_LENGTH');
  return found({
    x: timeAxis ? x * 1000 : x * 10,
    y: velocity ? y : y * 10,
    unitX: timeAxis ? 'ms' : 'mm',
    unitY: velocity ? 'cm/s' : 'mm',
  });
}
