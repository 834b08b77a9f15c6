import { exactCos, exactSin } from '@chordae/units';
import type { GrayFrame } from '../gray-frame';
import { brightnessAt, patchAngles, patchRadii } from './polar-patch';

/** The sector on the screen: where its beams meet, its edges as angles from straight down (left negative), radii of skin and depth. */
export interface FanPlace {
  readonly apexXPx: number;
  readonly apexYPx: number;
  readonly leftAngleRad: number;
  readonly rightAngleRad: number;
  readonly innerRadiusPx: number;
  readonly outerRadiusPx: number;
}

/** How many frames a clip is looked at in. */
const looks = 8;

/** Mean brightness over a clip and its spread over time, each across the fan (48) × down it (32). */
export function fanPatches(
  frames: readonly GrayFrame[],
  fan: FanPlace,
): { readonly mean: Float64Array; readonly spread: Float64Array } {
  const size = patchAngles * patchRadii;
  const mean = new Float64Array(size);
  const spread = new Float64Array(size);
  const count = Math.min(looks, frames.length);
  for (let n = 0; n < count; n += 1) {
    const patch = onePatch(frames[Math.floor((n * frames.length) / count)] as GrayFrame, fan);
    for (let k = 0; k < size; k += 1) {
      mean[k] = (mean[k] as number) + (patch[k] as number);
      spread[k] = (spread[k] as number) + (patch[k] as number) * (patch[k] as number);
    }
  }
  for (let k = 0; k < size; k += 1) {
    const m = (mean[k] as number) / count;
    mean[k] = m;
    spread[k] = Math.sqrt(Math.max(0, (spread[k] as number) / count - m * m));
  }
  return { mean, spread };
}

function onePatch(frame: GrayFrame, fan: FanPlace): Float64Array {
  const out = new Float64Array(patchAngles * patchRadii);
  const turns = 2;
  const steps = 3;
  const width = fan.rightAngleRad - fan.leftAngleRad;
  const deep = fan.outerRadiusPx - fan.innerRadiusPx;
  for (let a = 0; a < patchAngles; a += 1)
    for (let k = 0; k < turns; k += 1) {
      const angle = fan.leftAngleRad + (width * (a + (k + 0.5) / turns)) / patchAngles;
      const sin = exactSin(angle);
      const cos = exactCos(angle);
      for (let r = 0; r < patchRadii; r += 1)
        for (let m = 0; m < steps; m += 1) {
          const radius = fan.innerRadiusPx + (deep * (r + (m + 0.5) / steps)) / patchRadii;
          const at = a * patchRadii + r;
          const value = brightnessAt(frame, fan.apexXPx + radius * sin, fan.apexYPx + radius * cos);
          out[at] = (out[at] as number) + value / (turns * steps);
        }
    }
  return out;
}
