import { randomCine, renderCine, seededRandom } from '@chordae/phantom';
import { fanPatches } from '../src/learned/fan-patch';
import { suggestedViews } from '../src/learned/view-suggestion';
import { patchBytes } from './samples';
import type { ViewSet } from './view-recipe';
import { viewErrors } from './view-recipe';

export interface ViewSample {
  readonly patch: Uint8Array;
  /** Place in `suggestedViews`. */
  readonly view: number;
}

/** One phantom of a set: its view goes round with the number. */
export function viewSampleOf(set: ViewSet, number: number): ViewSample {
  const view = number % suggestedViews.length;
  const seed = set.firstSeed + number;
  const random = seededRandom(seed ^ 0x2545f491);
  const off = (size: number): number => size * (2 * random() - 1);
  const wish = randomCine(seed, set.family, { view: suggestedViews[view], maxTiltDeg: viewErrors.tiltDeg });
  const { frames, fan } = renderCine(
    {
      ...wish,
      levelShift: off(viewErrors.level),
      bLines: Math.floor(6 * random()),
      frameCount: 6,
      frameTimeMs: 60_000 / wish.heartRate / 6,
    },
    seed,
  );
  // The sector is found nearly right.
  const place = {
    apexXPx: fan.apexX + off(2),
    apexYPx: fan.apexY + off(2),
    leftAngleRad: -fan.halfAngle + off(0.02),
    rightAngleRad: fan.halfAngle + off(0.02),
    innerRadiusPx: fan.faceCm * fan.pxPerCm + off(1.5),
    outerRadiusPx: (fan.faceCm + fan.depthCm) * fan.pxPerCm + off(3),
  };
  const gray = frames.map((luma) => ({ widthPx: fan.widthPx, heightPx: fan.heightPx, luma }));
  const { mean, spread } = fanPatches(gray, place);
  const patch = new Uint8Array(patchBytes);
  mean.forEach((value, n) => {
    patch[n] = Math.round(value);
  });
  spread.forEach((value, n) => {
    patch[mean.length + n] = Math.min(255, Math.round(2 * value));
  });
  return { patch, view };
}
