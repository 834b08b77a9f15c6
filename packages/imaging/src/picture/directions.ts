import { exactCos, exactSin } from '@chordae/units';

/** Number of rays round a centre. */
export const rayCount = 48;

/** Unit vectors of the rays, from right (0) turning down the picture (x right, y down). */
export const rayX = Float64Array.from({ length: rayCount }, (_, n) => exactCos((2 * Math.PI * n) / rayCount));
export const rayY = Float64Array.from({ length: rayCount }, (_, n) => exactSin((2 * Math.PI * n) / rayCount));
