import type { PhantomWish } from './clip';
import type { PhantomHeart } from './heart-size';
import { phantomHearts } from './heart-size';
import type { Random } from './random';
import { seededRandom } from './random';
import type { PhantomView } from './views';

/**
 * Families of phantoms: `developing` is what methods are made on; `shifted` has other anatomy and another picture, to see what is
 * lost; `distant` is drawn by another recipe and kept for judging only.
 */
export const phantomFamilies = ['developing', 'shifted', 'distant'] as const;
export type PhantomFamily = (typeof phantomFamilies)[number];

type Range = readonly [number, number];

interface FamilyRanges {
  readonly severity: Range;
  readonly papillaryDeg: Range;
  readonly papillarySize: Range;
  /** Largest sum of the outline's waves, part of the radius. */
  readonly harmonics: number;
  readonly rightVentricle: Range;
  readonly rightTurnDeg: Range;
  readonly slenderness: Range;
  readonly pulse: Range;
  readonly beamWidth: Range;
  readonly grain: Range;
  readonly dynamicDb: Range;
  readonly gamma: Range;
  readonly haze: Range;
  readonly dropout: Range;
  readonly mirror: Range;
  readonly bloodEcho: Range;
  readonly smoothing: Range;
  readonly halfAngleDeg: Range;
  readonly facePart: Range;
}

const ranges: Readonly<Record<PhantomFamily, FamilyRanges>> = {
  developing: {
    severity: [0.8, 1.1],
    papillaryDeg: [40, 56],
    papillarySize: [0.85, 1.15],
    harmonics: 0.012,
    rightVentricle: [0.85, 1.15],
    rightTurnDeg: [-8, 8],
    slenderness: [0.34, 0.4],
    pulse: [0.025, 0.038],
    beamWidth: [1, 1.6],
    grain: [36, 46],
    dynamicDb: [52, 60],
    gamma: [0.92, 1.08],
    haze: [0.7, 1.3],
    dropout: [0.85, 1.15],
    mirror: [0.8, 1.2],
    bloodEcho: [0, 0.005],
    smoothing: [0.55, 0.7],
    halfAngleDeg: [38, 44],
    facePart: [0.07, 0.11],
  },
  shifted: {
    severity: [0.4, 1.3],
    papillaryDeg: [20, 78],
    papillarySize: [0.5, 1.5],
    harmonics: 0.06,
    rightVentricle: [0.4, 1.6],
    rightTurnDeg: [-20, 20],
    slenderness: [0.31, 0.43],
    pulse: [0.018, 0.07],
    beamWidth: [0.8, 3],
    grain: [22, 60],
    dynamicDb: [44, 72],
    gamma: [0.7, 1.4],
    haze: [1.4, 2.6],
    dropout: [0.5, 1.5],
    mirror: [0.5, 1.6],
    bloodEcho: [0, 0.012],
    smoothing: [0.5, 0.9],
    halfAngleDeg: [35, 46],
    facePart: [0.03, 0.16],
  },
  distant: {
    severity: [0.5, 1.2],
    papillaryDeg: [25, 70],
    papillarySize: [0.6, 1.35],
    harmonics: 0.045,
    rightVentricle: [0.5, 1.5],
    rightTurnDeg: [-28, 28],
    slenderness: [0.32, 0.46],
    pulse: [0.05, 0.09],
    beamWidth: [1.6, 3.4],
    grain: [14, 24],
    dynamicDb: [66, 84],
    gamma: [1.2, 1.7],
    haze: [1.5, 3],
    dropout: [0.9, 1.5],
    mirror: [0.25, 0.7],
    bloodEcho: [0.004, 0.016],
    smoothing: [0.9, 1.5],
    halfAngleDeg: [30, 48],
    facePart: [0, 0.2],
  },
};

export interface RandomCineOptions {
  readonly view?: PhantomView;
  readonly heart?: PhantomHeart;
  /** Largest tilt, degrees; 42 where not said. */
  readonly maxTiltDeg?: number;
  readonly widthPx?: number;
  readonly heightPx?: number;
  /** Beats shown; 1.35 where not said. */
  readonly beats?: number;
}

/** Draws a clip to be made: an animal, its heart, the machine's picture and how well the plane was found. */
export function randomCine(
  seed: number,
  family: PhantomFamily,
  options: RandomCineOptions = {},
): PhantomWish {
  const random = seededRandom(
    (Math.imul(seed, 0x9e3779b1) ^ (phantomFamilies.indexOf(family) * 0x51ed270b)) >>> 0,
  );
  for (let n = 0; n < 4; n += 1) random();
  const f = ranges[family];
  const between = ([low, high]: Range): number => low + (high - low) * random();
  const species = random() < 0.6 ? 'dog' : 'cat';
  const weightKg =
    species === 'dog'
      ? 3 * ([1, 2, 4, 8][Math.floor(random() * 4)] as number) * (1 + random())
      : between([2.8, 6.8]);
  const hearts = phantomHearts.filter((heart) => heart !== 'narrow-outflow');
  const picked = hearts[Math.floor(random() * hearts.length)] as PhantomHeart;
  const heartRate = species === 'dog' ? between([70, 170]) : between([140, 245]);
  const frameTimeMs = 1000 / between([25, 60]);
  const beatMs = 60_000 / heartRate;
  return {
    view: options.view ?? 'rps-short-papillary',
    species,
    weightKg,
    heart: options.heart ?? picked,
    severity: between(f.severity),
    heartRate,
    frameTimeMs,
    frameCount: Math.max(2, Math.ceil(((options.beats ?? 1.35) * beatMs) / frameTimeMs)),
    words: null,
    widthPx: options.widthPx ?? 256,
    heightPx: options.heightPx ?? 192,
    tiltDeg: (options.maxTiltDeg ?? 42) * random(),
    tiltAzimuthDeg: 360 * random(),
    levelShift: between([-0.07, 0.07]),
    startPhase: random(),
    rhythmJitter: 0.02,
    mirrored: random() < 0.1,
    variation: randomVariation(f, random),
    recipe: randomRecipe(f, random),
    fan: {
      halfAngleDeg: between(f.halfAngleDeg),
      facePart: between(f.facePart),
      depthScale: between([0.97, 1.2]),
    },
  };
}

function randomVariation(f: FamilyRanges, random: Random): PhantomWish['variation'] {
  const between = ([low, high]: Range): number => low + (high - low) * random();
  const waves = [random(), random(), random()];
  const sum = waves.reduce((a, b) => a + b, 0) + 1e-9;
  const total = f.harmonics * random();
  return {
    papillaryDeg: [between(f.papillaryDeg), between(f.papillaryDeg)],
    papillarySize: [between(f.papillarySize), between(f.papillarySize)],
    rightVentricle: between(f.rightVentricle),
    rightTurnDeg: between(f.rightTurnDeg),
    slenderness: between(f.slenderness),
    aorta: between([0.92, 1.08]),
    atrium: between([0.92, 1.1]),
    harmonics: waves.map((w) => ({ size: (w / sum) * total, crestDeg: 360 * random() })),
  };
}

function randomRecipe(f: FamilyRanges, random: Random): PhantomWish['recipe'] {
  const between = ([low, high]: Range): number => low + (high - low) * random();
  const shadows = Array.from({ length: Math.floor(random() * 3) }, () => ({
    centre: between([-0.95, 0.95]),
    half: between([0.03, 0.12]),
    dark: between([0.3, 0.85]),
  }));
  return {
    gainDb: between([-6, 6]),
    pulseCm: between(f.pulse),
    beamWidth: between(f.beamWidth),
    grainPerCm: between(f.grain),
    dynamicDb: between(f.dynamicDb),
    gamma: between(f.gamma),
    haze: between(f.haze),
    noise: between([0.6, 2]),
    dropout: between(f.dropout),
    mirror: between(f.mirror),
    bloodEcho: between(f.bloodEcho),
    smoothing: between(f.smoothing),
    fadeDb: between([1, 8]),
    shadows,
  };
}
