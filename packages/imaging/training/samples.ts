import type { GrayFrame } from '@chordae/imaging';
import { outlineShape, randomCine, renderCine, seededRandom, systoleEnds } from '@chordae/phantom';
import { polarPatch } from '../src/learned/polar-patch';
import type { SampleSet } from './recipe';
import { jitter } from './recipe';

/** Bytes of one sample: two patches of brightness, then five labels. */
export const patchBytes = 2 * 48 * 32;

export interface Labels {
  readonly tiltDeg: number;
  readonly septumFlat: number;
  readonly rightToLeft: number;
  readonly axisRatio: number;
  readonly heart: string;
}

export interface Sample {
  readonly patch: Uint8Array;
  readonly labels: Labels;
}

function frameOf(luma: Uint8Array, widthPx: number, heightPx: number): GrayFrame {
  return { widthPx, heightPx, luma };
}

/** Samples of one phantom; none where the plane misses the ventricle. */
export function samplesOf(set: SampleSet, number: number): Sample[] {
  const seed = set.firstSeed + number;
  const random = seededRandom(seed ^ 0x5bd1e995);
  const wish = randomCine(seed, set.family);
  const off = (size: number): number => size * (2 * random() - 1);
  const diastole = jitter.phase * random();
  const systole = systoleEnds(wish.heartRate) + off(jitter.phase);
  const beatMs = 60_000 / wish.heartRate;
  const { frames, truth, fan } = renderCine(
    {
      ...wish,
      startPhase: diastole,
      frameCount: 2,
      frameTimeMs: (systole - diastole) * beatMs,
      rhythmJitter: 0,
    },
    seed,
  );
  const outline = truth.lvOutlines[0];
  if (!outline) return [];
  const shape = outlineShape(outline);
  const radius = Math.sqrt(shape.areaPx2 / Math.PI);
  const labels: Labels = {
    tiltDeg: truth.tiltDeg,
    septumFlat: truth.septumFlatD,
    rightToLeft: truth.rvIddMm / truth.lvIddMm,
    axisRatio: shape.axisRatio,
    heart: wish.heart,
  };
  return Array.from({ length: set.views }, () => {
    const place = {
      x: shape.centre.x + radius * off(jitter.middle),
      y: shape.centre.y + radius * off(jitter.middle),
      radiusPx: radius * (1 + off(jitter.radius)),
    };
    const patch = new Uint8Array(patchBytes);
    frames.forEach((luma, n) => {
      const values = polarPatch(frameOf(luma, fan.widthPx, fan.heightPx), place);
      for (let k = 0; k < values.length; k += 1)
        patch[n * values.length + k] = Math.round(values[k] as number);
    });
    return { patch, labels };
  });
}
