import type { ClipDescription, FramePoint, Region } from '@chordae/contract';
import type { Measured } from './points';
import { found, unmeasured } from './points';
import { hypotenuse } from './values';

/** What a person said a pixel is worth, cm. */
export interface PersonsCalibration {
  readonly cmPerPixel: number;
}

const isUsable2d = (r: Region) => r.kind === '2d' && r.usable && r.unitX === 'cm' && r.unitY === 'cm';

/**
 * The regions that may be measured on: the file's own, and where it has no usable 2D region a made one over the whole picture from a
 * person's calibration (cm per pixel, square). Other regions of the file stay in front of the made one, usable or not; a 2D region
 * that cannot be true gives way to it. Example: no region and 0.05 cm a pixel make two points 100 pixels apart 50 mm.
 */
export function regionsWith(
  description: Pick<ClipDescription, 'regions' | 'widthPx' | 'heightPx'>,
  calibration: PersonsCalibration | null,
): readonly Region[] {
  const { regions, widthPx, heightPx } = description;
  if (calibration === null || regions.some(isUsable2d)) return regions;
  const { cmPerPixel } = calibration;
  if (!(cmPerPixel > 0)) return regions;
  const made: Region = {
    x0: 0,
    y0: 0,
    x1: widthPx - 1,
    y1: heightPx - 1,
    kind: '2d',
    unitX: 'cm',
    unitY: 'cm',
    deltaX: cmPerPixel,
    deltaY: cmPerPixel,
    referenceX: null,
    referenceY: null,
    referenceValueX: null,
    referenceValueY: null,
    highPriority: false,
    protectedScale: false,
    usable: true,
    whyNot: null,
  };
  return [...regions.filter((r) => r.kind !== '2d' || r.usable).map((r) => inFront(r)), made];
}

/** A region of the file precedes the made one, which is never of high priority. */
function inFront(region: Region): Region {
  return { ...region, highPriority: true };
}

/**
 * Cm per pixel from two points and their true distance in mm, pixels taken as square; refused where the points are closer than 20
 * pixels, since half a pixel at each end would be more than 5 %. Example: 100 pixels that are 50 mm give 0.05.
 */
export function cmPerPixelFrom(a: FramePoint, b: FramePoint, distanceMm: number): Measured<number> {
  const pixels = hypotenuse(b.x - a.x, b.y - a.y);
  if (!(pixels >= 20) || !(distanceMm > 0)) return unmeasured('DRAWING_WITHOUT_SIZE');
  return found(distanceMm / 10 / pixels);
}
