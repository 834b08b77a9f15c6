import type { ScreenWords } from './furniture';
import { drawFurniture } from './furniture';
import { contraction, systoleEnds } from './heart-beat';
import type { PhantomHeart, PhantomSpecies } from './heart-size';
import { heartSize } from './heart-size';
import { longAxisDepth, longAxisSlice, planLongAxis } from './long-axis';
import type { Random } from './random';
import type { Fan } from './scan-picture';
import { fanFor, makeScanner, makeSpeckle } from './scan-picture';
import { planShortAxis, shortAxisDepth, shortAxisSlice } from './short-axis';
import type { Slice } from './tissue';

export type PhantomView = 'rps-short-papillary' | 'rps-long-4ch';

export interface PhantomWish {
  readonly view: PhantomView;
  readonly species: PhantomSpecies;
  readonly weightKg: number;
  readonly heart: PhantomHeart;
  /** Beats per minute. */
  readonly heartRate: number;
  readonly frameCount: number;
  /** ms from frame to frame. */
  readonly frameTimeMs: number;
  readonly words: ScreenWords;
  readonly widthPx?: number;
  readonly heightPx?: number;
}

/** What is true of a phantom, to check computing against. */
export interface PhantomTruth {
  readonly pxPerCm: number;
  readonly lvIddMm: number;
  readonly lvIdsMm: number;
  readonly ivsdMm: number;
  readonly freeWallDMm: number;
  /** Numbers from 0. */
  readonly endDiastoleFrames: readonly number[];
  readonly endSystoleFrames: readonly number[];
  readonly frameTimesMs: readonly number[];
  readonly rWaveTimesMs: readonly number[];
  /** Middle of the left ventricle on the screen, pixels. */
  readonly lvCentre: { readonly x: number; readonly y: number };
  /** Diameter of the left ventricle in each frame, mm. */
  readonly lvDiameterMm: readonly number[];
}

export interface PhantomClip {
  readonly wish: PhantomWish;
  readonly fan: Fan;
  /** One byte a pixel, row by row. */
  readonly frames: readonly Uint8Array[];
  readonly truth: PhantomTruth;
}

interface Stage {
  readonly depthCm: number;
  readonly centreDepth: number;
  readonly sliceAt: (phase: number) => Slice;
}

function stage(wish: PhantomWish): Stage {
  const size = heartSize(wish.species, wish.weightKg, wish.heart);
  if (wish.view === 'rps-short-papillary') {
    const plan = planShortAxis(size);
    return {
      depthCm: shortAxisDepth(plan),
      centreDepth: plan.centreDepth,
      sliceAt: (phase) => shortAxisSlice(plan, phase),
    };
  }
  const plan = planLongAxis(size);
  return {
    depthCm: longAxisDepth(plan),
    centreDepth: plan.centreDepth,
    sliceAt: (phase) => longAxisSlice(plan, phase),
  };
}

/** Makes a beating clip with known truth; the first frame is end diastole. About 60 ms a frame at 800 by 600. */
export function makePhantomClip(wish: PhantomWish, random: Random): PhantomClip {
  const { widthPx = 800, heightPx = 600, frameCount, frameTimeMs, heartRate } = wish;
  const scene = stage(wish);
  const fan = fanFor(widthPx, heightPx, scene.depthCm);
  const scanner = makeScanner(fan, makeSpeckle(random));
  const background = new Uint8Array(widthPx * heightPx);
  drawFurniture(background, fan, wish.words);
  const beatMs = 60_000 / heartRate;
  const frameTimesMs = Array.from({ length: frameCount }, (_, n) => n * frameTimeMs);
  const frames = frameTimesMs.map((time) => {
    const luma = background.slice();
    scanner.draw(scene.sliceAt(time / beatMs), luma, random);
    return luma;
  });
  return { wish, fan, frames, truth: truthOf(wish, fan, scene, frameTimesMs, beatMs) };
}

function truthOf(
  wish: PhantomWish,
  fan: Fan,
  scene: Stage,
  frameTimesMs: readonly number[],
  beatMs: number,
): PhantomTruth {
  const size = heartSize(wish.species, wish.weightKg, wish.heart);
  const last = frameTimesMs.at(-1) ?? 0;
  const moments = (offset: number): number[] => {
    const out: number[] = [];
    for (let time = offset * beatMs; time <= last; time += beatMs) out.push(time);
    return out;
  };
  const nearest = (time: number): number => Math.round(time / wish.frameTimeMs);
  const rWaveTimesMs = moments(0);
  return {
    pxPerCm: fan.pxPerCm,
    lvIddMm: size.lvIddCm * 10,
    lvIdsMm: size.lvIdsCm * 10,
    ivsdMm: size.ivsdCm * 10,
    freeWallDMm: size.freeWallDCm * 10,
    endDiastoleFrames: rWaveTimesMs.map(nearest),
    endSystoleFrames: moments(systoleEnds).map(nearest),
    frameTimesMs,
    rWaveTimesMs,
    lvCentre: { x: fan.apexX, y: fan.apexY + (fan.faceCm + scene.centreDepth) * fan.pxPerCm },
    lvDiameterMm: frameTimesMs.map(
      (time) => 10 * (size.lvIddCm - (size.lvIddCm - size.lvIdsCm) * contraction(time / beatMs)),
    ),
  };
}
