import { spreadFrames } from '../gray-frame';
import { valueAt } from '../picture/plane';
import type { WorkingClip } from '../picture/working';
import { decodedNumbers } from './decoded-numbers';
import { networkSize, runNetwork } from './network';
import { directions, levelled, patchAngles, patchRadii } from './polar-patch';
import { rootScales, rootWeightsBase64 } from './root-weights';

/** What the learned model says of a short axis at the aortic valve. A hint, made on computed clips only. */
export interface LearnedRootTilt {
  /** Tilt of the cut against one square to the root, degrees, 0 to 60. */
  readonly tiltDeg: number;
  /** Expected size of the error, degrees, as the model judges it. */
  readonly errorDeg: number;
  /** Where the cut's normal leans, parts of its length: to the right of the picture, and downwards. */
  readonly leanRight: number;
  readonly leanDown: number;
}

export interface RootPlace {
  readonly x: number;
  readonly y: number;
  readonly radius: number;
}

export const rootTiltOutputs = 4;
/** The patch reaches to so many radii of the root: outlet, atria and pulmonary artery round it belong to the sight. */
export const rootReach = 3.4;
const looks = 12;
const low = 0.25;
const high = 0.75;

/** The surroundings of a place over time: what is dark once in the beat, and what is bright once. Angles × radii, working pixels. */
export function rootPatches(
  clip: WorkingClip,
  place: RootPlace,
): { readonly dark: Float64Array; readonly bright: Float64Array } {
  const size = patchAngles * patchRadii;
  const cell = (rootReach * place.radius) / patchRadii;
  const frames = spreadFrames(clip.frames, looks);
  const dark = new Float64Array(size);
  const bright = new Float64Array(size);
  const column = new Float64Array(frames.length);
  for (let a = 0; a < patchAngles; a += 1)
    for (let r = 0; r < patchRadii; r += 1) {
      column.fill(0);
      for (const [turn, along] of [
        [0.25, 0.25],
        [0.75, 0.75],
        [0.25, 0.75],
        [0.75, 0.25],
      ] as const) {
        const { cos, sin } = directions[Math.floor((a + turn) * 4)] as { cos: number; sin: number };
        const radius = (r + along) * cell;
        const [x, y] = [place.x + radius * cos, place.y + radius * sin];
        for (let k = 0; k < frames.length; k += 1)
          column[k] = (column[k] as number) + valueAt(frames[k] as (typeof frames)[number], x, y) / 4;
      }
      column.sort();
      const at = a * patchRadii + r;
      dark[at] = column[Math.round(low * (column.length - 1))] as number;
      bright[at] = column[Math.round(high * (column.length - 1))] as number;
    }
  return { dark, bright };
}

const clamp = (value: number, least: number, most: number): number => Math.max(least, Math.min(most, value));

/** Reads the four raw outputs of the network. */
export function readRootOutputs(raw: Float64Array): LearnedRootTilt {
  const spread = raw[1] as number;
  return {
    tiltDeg: clamp(45 * (raw[0] as number), 0, 60),
    errorDeg: clamp(45 * (0.02 + spread * spread), 0, 45),
    leanRight: clamp(raw[2] as number, -1, 1),
    leanDown: clamp(raw[3] as number, -1, 1),
  };
}

let numbers: Float64Array | null = null;

/** Estimates the tilt of a cut through the aortic root from a clip and the root's place. Null where the place is none. */
export function learnedRootTilt(clip: WorkingClip, place: RootPlace): LearnedRootTilt | null {
  const { x, y, radius } = place;
  if (!(radius >= 2 && radius < 4096) || !(x > 0 && y > 0 && x < clip.width && y < clip.height)) return null;
  if (clip.frames.length === 0) return null;
  const { dark, bright } = rootPatches(clip, place);
  numbers ??= decodedNumbers(rootWeightsBase64, rootScales, networkSize(rootTiltOutputs));
  return readRootOutputs(runNetwork(levelled(dark, bright), numbers, rootTiltOutputs));
}
