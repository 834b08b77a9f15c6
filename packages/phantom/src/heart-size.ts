import { power } from './plain-math';

export type PhantomSpecies = 'dog' | 'cat';
export type PhantomHeart = 'normal' | 'thick-walls' | 'dilated' | 'pericardial-effusion';

/** Sizes of a heart in cm. */
export interface HeartSize {
  readonly lvIddCm: number;
  readonly lvIdsCm: number;
  readonly ivsdCm: number;
  readonly freeWallDCm: number;
  /** Width of fluid round the heart. */
  readonly effusionCm: number;
}

/**
 * Dog: means of Cornell 2004 (J Vet Intern Med 18:311-321), a·kg^b in cm. Cat: 1.5, 0.8, 0.42 cm at 4 kg, scaled with
 * kg^0.25 (common practice). Diseases are multipliers of our own, to look at, not to learn limits from.
 */
export function heartSize(species: PhantomSpecies, weightKg: number, heart: PhantomHeart): HeartSize {
  const scaled = (dogA: number, dogB: number, cat: number): number =>
    species === 'dog' ? dogA * power(weightKg, dogB) : cat * power(weightKg / 4, 0.25);
  const [cavityD, cavityS, wall] = {
    normal: [1, 1, 1],
    'thick-walls': [0.88, 0.72, 1.65],
    dilated: [1.35, 1.75, 0.85],
    'pericardial-effusion': [0.92, 0.95, 1.05],
  }[heart] as [number, number, number];
  return {
    lvIddCm: scaled(1.53, 0.294, 1.5) * cavityD,
    lvIdsCm: scaled(0.95, 0.315, 0.8) * cavityS,
    ivsdCm: scaled(0.41, 0.241, 0.42) * wall,
    freeWallDCm: scaled(0.42, 0.232, 0.42) * wall,
    effusionCm: heart === 'pericardial-effusion' ? scaled(0.45, 0.28, 0.5) : 0,
  };
}
