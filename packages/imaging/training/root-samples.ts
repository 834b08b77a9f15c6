import type { GrayFrame } from '@chordae/imaging';
import { outlineShape } from '@chordae/phantom';
import { exactCos, exactSin } from '@chordae/units';
import { rootPatches } from '../src/learned/root-tilt';
import { makeWorkingClip } from '../src/picture/working';
import { finderRecipes } from './finder/recipe';
import { finderClip, nearlyTheFan } from './finder/samples';
import type { SampleSet } from './recipe';
import { rootJitter } from './root-recipe';
import { patchBytes } from './samples';

export interface RootLabels {
  readonly heart: string;
  readonly tiltDeg: number;
  /** Lean of the cut's normal to the right of the picture and downwards, parts of its length. */
  readonly leanRight: number;
  readonly leanDown: number;
}

export interface RootSample {
  readonly patch: Uint8Array;
  readonly labels: RootLabels;
}

/** Samples of one phantom; none where the plane misses the root in most frames. */
export function rootSamplesOf(set: SampleSet, number: number): RootSample[] {
  const { clip, random } = finderClip(finderRecipes.root, set, number);
  const { widthPx, heightPx } = clip.fan;
  const shapes = clip.truth.rootOutlines.filter((o) => o !== null).map((o) => outlineShape(o));
  if (2 * shapes.length < clip.frames.length) return [];
  const mean = (of: (s: (typeof shapes)[number]) => number): number =>
    shapes.reduce((sum, s) => sum + of(s), 0) / shapes.length;
  const [x, y, area] = [mean((s) => s.centre.x), mean((s) => s.centre.y), mean((s) => s.areaPx2)];
  const frames: GrayFrame[] = clip.frames.map((luma) => ({ widthPx, heightPx, luma }));
  const working = makeWorkingClip(frames, nearlyTheFan(clip, random));
  const { window, scale } = working;
  const radius = Math.sqrt(area / Math.PI) / scale;
  const off = (size: number): number => size * (2 * random() - 1);
  const { tiltDeg = 0, tiltAzimuthDeg = 0, mirrored, heart } = clip.wish;
  const lean = exactSin((tiltDeg * Math.PI) / 180);
  const azimuth = (tiltAzimuthDeg * Math.PI) / 180;
  const labels: RootLabels = {
    heart,
    tiltDeg,
    leanRight: lean * exactCos(azimuth) * (mirrored ? -1 : 1),
    leanDown: lean * exactSin(azimuth),
  };
  return Array.from({ length: set.views }, () => {
    const { dark, bright } = rootPatches(working, {
      x: (x - window.x0) / scale + radius * off(rootJitter.middle),
      y: (y - window.y0) / scale + radius * off(rootJitter.middle),
      radius: radius * (1 + off(rootJitter.radius)),
    });
    const patch = new Uint8Array(patchBytes);
    patch.set(dark.map(Math.round));
    patch.set(bright.map(Math.round), dark.length);
    return { patch, labels };
  });
}
