/** How a machine turns echoes into a picture; a family of phantoms is a range of these. */
export interface Recipe {
  /** Gain error, dB. */
  readonly gainDb: number;
  readonly dynamicDb: number;
  /** Exponent of the grey curve after compression. */
  readonly gamma: number;
  /** Width of a point's echo along the beam (cm at 10 cm depth) and across (beams of 200). */
  readonly pulseCm: number;
  readonly beamWidth: number;
  /** Scatterer cells per cm at 10 cm of depth. */
  readonly grainPerCm: number;
  /** Clutter in the near field and from side lobes; 1 is usual. */
  readonly haze: number;
  /** Electronic noise; 1 is usual. */
  readonly noise: number;
  /** Loss of echo where walls lie along the beam; 1 is usual. */
  readonly dropout: number;
  /** Strength of mirror-like surfaces; 1 is usual. */
  readonly mirror: number;
  /** Echo of blood against tissue added to what it has (0 is usual), and smoothing of the envelope in cells. */
  readonly bloodEcho: number;
  readonly smoothing: number;
  /** Dark rays: centre as part of the fan (-1 to 1), half width likewise, depth of the shadow (0 to 1). */
  readonly shadows: readonly { readonly centre: number; readonly half: number; readonly dark: number }[];
  /** Attenuation not made good by the machine, dB over the depth. */
  readonly fadeDb: number;
}

export const plainRecipe: Recipe = {
  gainDb: 0,
  dynamicDb: 54,
  gamma: 1.12,
  pulseCm: 0.03,
  beamWidth: 1.25,
  grainPerCm: 40,
  haze: 1,
  noise: 1,
  dropout: 1,
  mirror: 1,
  bloodEcho: 0,
  smoothing: 0.62,
  shadows: [],
  fadeDb: 4,
};
