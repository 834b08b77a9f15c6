/**
 * What a point of the body sends back, written into eight numbers so that nothing is made per point:
 * `amplitude` scales diffuse speckle; `distance` (cm) to the nearest surface, whose change along a beam tells how squarely
 * the beam meets it; `strength` of that surface's mirror-like echo; three numbers of the place fixed in the tissue (cm), at which
 * speckle is looked up; `loss` against mean tissue; `grain`, how far the echo depends on the angle to the fibres.
 */
export type Echo = Float64Array;

export const at = {
  amplitude: 0,
  distance: 1,
  strength: 2,
  tissueR: 3,
  tissueD: 4,
  tissueW: 5,
  loss: 6,
  grain: 7,
} as const;

export function makeEcho(): Echo {
  return new Float64Array(8);
}

/** Amplitudes against the brightest diffuse tissue = 1. */
export const blood = 0.011;
export const muscle = 0.27;
export const fluid = 0.006;
export const wallOfVessel = 0.34;

/** Writes one kind of material. */
export function put(
  echo: Echo,
  amplitude: number,
  distance: number,
  strength: number,
  loss: number,
  grain: number,
): void {
  echo[0] = amplitude;
  echo[1] = distance;
  echo[2] = strength;
  echo[6] = loss;
  echo[7] = grain;
}

/** Adds a thin sheet (leaflet, cusp, tendon): the nearer surface wins. */
export function putSheet(
  echo: Echo,
  distance: number,
  halfWidth: number,
  amplitude: number,
  strength: number,
): void {
  if (distance < (echo[1] as number) || distance < halfWidth) {
    echo[1] = distance;
    echo[2] = strength;
    if (distance < halfWidth) {
      echo[0] = Math.max(echo[0] as number, amplitude);
      echo[7] = 0.4;
    }
  }
}
