import { exactPow } from '@chordae/units';

export type PhantomSpecies = 'dog' | 'cat' | 'horse';

export const phantomHearts = [
  'normal',
  'thick-walls',
  'dilated',
  'mitral-leak',
  'right-overload',
  'narrow-outflow',
  'pericardial-effusion',
  'pleural-effusion',
] as const;
export type PhantomHeart = (typeof phantomHearts)[number];

/** Sizes of a heart in cm; ratios without unit. */
export interface HeartSize {
  readonly lvIddCm: number;
  readonly lvIdsCm: number;
  readonly ivsdCm: number;
  readonly freeWallDCm: number;
  /** Radius of a normal left ventricle of this animal: what the great vessels and right heart scale with. */
  readonly unitCm: number;
  /** Inner diameter of the aortic root. */
  readonly aorticCm: number;
  /** Left atrium against its normal size, right heart against its normal size. */
  readonly leftAtrium: number;
  readonly rightHeart: number;
  /** Part of the radius by which the septum is pushed in, at end diastole and end systole. */
  readonly septumFlatD: number;
  readonly septumFlatS: number;
  /** Part of the outlet's radius that a ridge below the valve takes away. */
  readonly outflowRidge: number;
  /** 1 where mitral leaflets are thick and fall back into the atrium. */
  readonly prolapse: number;
  /** Width of fluid round the heart, and outside the pericardium. */
  readonly effusionCm: number;
  readonly pleuralCm: number;
}

interface Change {
  readonly cavityD: number;
  readonly cavityS: number;
  readonly wall: number;
  readonly leftAtrium?: number;
  readonly rightHeart?: number;
  readonly flatD?: number;
  readonly flatS?: number;
  readonly ridge?: number;
  readonly effusion?: number;
  readonly pleural?: number;
}

/** Own multipliers, to look at and to test with; nothing to learn limits from. */
const changes: Readonly<Record<PhantomHeart, Change>> = {
  normal: { cavityD: 1, cavityS: 1, wall: 1 },
  'thick-walls': { cavityD: 0.88, cavityS: 0.72, wall: 1.65, leftAtrium: 1.25 },
  dilated: { cavityD: 1.35, cavityS: 1.75, wall: 0.85, leftAtrium: 1.3 },
  'mitral-leak': { cavityD: 1.25, cavityS: 1.05, wall: 0.95, leftAtrium: 1.6 },
  'right-overload': {
    cavityD: 0.9,
    cavityS: 0.92,
    wall: 1,
    leftAtrium: 0.9,
    rightHeart: 1.75,
    flatD: 0.3,
    flatS: 0.42,
  },
  'narrow-outflow': { cavityD: 0.96, cavityS: 0.9, wall: 1.3, leftAtrium: 1.1, ridge: 0.5 },
  'pericardial-effusion': { cavityD: 0.92, cavityS: 0.95, wall: 1.05, rightHeart: 0.85, effusion: 1 },
  'pleural-effusion': { cavityD: 1, cavityS: 1, wall: 1, leftAtrium: 1.3, pleural: 1 },
};

/**
 * Dog: means of Cornell 2004 (J Vet Intern Med 18:311-321), a·kg^b in cm. Cat: 1.5, 0.8, 0.42 cm at 4 kg, scaled with
 * kg^0.25 (common practice). Horse: 11.5, 7.4, 2.9 cm at 500 kg, kg^(1/3) (common practice). Aortic root: 1.13 times
 * the ventricle's normal radius (so that the atrium is about 1.3 times the aorta; common practice). `severity`: how much of
 * the disease's change is there, 1 as a rule.
 */
export function heartSize(
  species: PhantomSpecies,
  weightKg: number,
  heart: PhantomHeart,
  severity = 1,
): HeartSize {
  const scaled = (dogA: number, dogB: number, cat: number, horse: number): number => {
    if (species === 'dog') return dogA * exactPow(weightKg, dogB);
    if (species === 'cat') return cat * exactPow(weightKg / 4, 0.25);
    return horse * exactPow(weightKg / 500, 1 / 3);
  };
  const change = changes[heart];
  const much = (factor: number): number => 1 + (factor - 1) * severity;
  const lvIddNormal = scaled(1.53, 0.294, 1.5, 11.5);
  return {
    lvIddCm: lvIddNormal * much(change.cavityD),
    lvIdsCm: scaled(0.95, 0.315, 0.8, 7.4) * much(change.cavityS),
    ivsdCm: scaled(0.41, 0.241, 0.42, 2.9) * much(change.wall),
    freeWallDCm: scaled(0.42, 0.232, 0.42, 2.6) * much(change.wall),
    unitCm: lvIddNormal / 2,
    aorticCm: 0.565 * lvIddNormal,
    leftAtrium: much(change.leftAtrium ?? 1),
    rightHeart: much(change.rightHeart ?? 1),
    septumFlatD: severity * (change.flatD ?? 0),
    septumFlatS: severity * (change.flatS ?? 0),
    outflowRidge: severity * (change.ridge ?? 0),
    prolapse: heart === 'mitral-leak' ? Math.min(1, severity) : 0,
    effusionCm: severity * (change.effusion ?? 0) * scaled(0.45, 0.28, 0.5, 3),
    pleuralCm: severity * (change.pleural ?? 0) * scaled(0.6, 0.28, 0.9, 4),
  };
}
