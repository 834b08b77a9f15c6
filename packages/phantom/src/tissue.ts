/** What a point of the body sends back. `amplitude` scales diffuse speckle; `mirror` adds a smooth specular echo. */
export interface Echo {
  amplitude: number;
  mirror: number;
  /** Place fixed in the tissue, cm: speckle is looked up here and so moves with the wall. */
  materialX: number;
  materialY: number;
}

export type Slice = (x: number, depth: number, echo: Echo) => void;

export const blood = 0.012;
export const muscle = 0.3;
export const fluid = 0.008;

/** 1 at the middle of a line of the given half width, falling to 0 smoothly. */
export function lineAt(distance: number, halfWidth: number): number {
  const d = distance < 0 ? -distance : distance;
  if (d >= 2 * halfWidth) return 0;
  const t = d / (2 * halfWidth);
  const s = 1 - t * t;
  return s * s;
}

/** Skin, fat and chest muscle near the probe: layered bright bands; true when the point lies in it. */
export function chestWall(depth: number, thickness: number, echo: Echo): boolean {
  if (depth > thickness) return false;
  const t = depth / thickness;
  echo.amplitude = 0.5 - 0.2 * t;
  echo.mirror = lineAt(t - 0.3, 0.04) * 0.7 + lineAt(t - 0.62, 0.03) * 0.5 + lineAt(t - 0.97, 0.035) * 0.9;
  return true;
}

/** Lung and what lies round the heart: bright at its surface, then haze that fades. `beyond` in cm. */
export function surround(beyond: number, echo: Echo): void {
  echo.amplitude = 0.34 / (1 + 0.9 * beyond) + 0.04;
}
