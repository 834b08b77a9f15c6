import { rayCount, rayX, rayY } from '../picture/directions';
import type { Ellipse } from '../picture/ellipse';
import { distanceToEllipse } from '../picture/ellipse';
import type { PolarMap } from './polar-map';

/**
 * Share of an outline's half towards the probe that is as bright as wall, 0 to 1. Blood alone lies there in a left ventricle; a band of
 * brightness across it is the septum, and the outline holds both ventricles.
 */
export function brightBandInside(map: PolarMap, e: Ellipse): number {
  const level = map.blood + 0.6 * map.contrast;
  let bright = 0;
  let all = 0;
  for (let ray = 0; ray < rayCount; ray += 1) {
    const dx = rayX[ray] as number;
    const dy = rayY[ray] as number;
    if (dy > -0.25) continue;
    const border = distanceToEllipse(e, map.cx, map.cy, dx, dy);
    for (let k = 0; k + 0.5 < Math.min(map.count, 0.82 * border); k += 1) {
      bright += (map.grey[ray * map.count + k] as number) > level ? 1 : 0;
      all += 1;
    }
  }
  return all > 0 ? bright / all : 0;
}
