import type { Anatomy } from './anatomy';
import { buildAnatomy, plainVariation } from './anatomy';
import { beatTimes, eventsWithin, momentOf } from './beat-times';
import type { CutPlane } from './cut-plane';
import type { ScreenWords } from './furniture';
import type { HeartNow } from './heart';
import { heartAt } from './heart';
import type { PhantomHeart, PhantomSpecies } from './heart-size';
import { heartSize } from './heart-size';
import { makeChain } from './picture-chain';
import { seededRandom } from './random';
import { plainRecipe } from './recipe';
import type { ScreenPicture } from './screen-picture';
import { drawText, fillBox } from './screen-text';
import { makeSpeckle } from './speckle';
import { planeFor } from './views';

export interface MModeWish {
  readonly species: PhantomSpecies;
  readonly weightKg: number;
  readonly heart: PhantomHeart;
  readonly heartRate: number;
  /** Time across the picture, ms. */
  readonly sweepMs: number;
  readonly words: ScreenWords;
  readonly widthPx?: number;
  readonly heightPx?: number;
}

/** Edges of the ventricle's walls along the beam at one moment, cm below the skin, and the screen rows that they lie on. */
export interface MModeEdges {
  readonly timeMs: number;
  readonly septumTopCm: number;
  readonly septumBottomCm: number;
  readonly freeWallTopCm: number;
  readonly freeWallBottomCm: number;
}

export interface MModeTruth {
  readonly endDiastole: readonly MModeEdges[];
  readonly endSystole: readonly MModeEdges[];
  readonly secondsPerPx: number;
  readonly cmPerPx: number;
  readonly rWaveTimesMs: readonly number[];
}

/** An M-mode picture of a left ventricle below the mitral valve, beam through its middle, with known walls and times. */
export function makeMMode(wish: MModeWish, seed: number): ScreenPicture & { readonly truth: MModeTruth } {
  const { widthPx = 800, heightPx = 600 } = wish;
  const random = seededRandom(seed);
  const anatomy = buildAnatomy(heartSize(wish.species, wish.weightKg, wish.heart), plainVariation);
  const plane = planeFor('rps-short-papillary', anatomy, 0.06);
  const box = {
    x0: Math.round(0.06 * widthPx),
    y0: Math.round(0.12 * heightPx),
    x1: Math.round(0.9 * widthPx),
    y1: Math.round(0.9 * heightPx),
  };
  const columns = box.x1 - box.x0 + 1;
  const rows = box.y1 - box.y0 + 1;
  const secondsPerPx = wish.sweepMs / 1000 / columns;
  const cmPerPx = plane.depth / rows;
  const times = beatTimes(wish.heartRate, 0.2, 0, wish.sweepMs, random);
  const lines = {
    beams: columns,
    samples: rows,
    sin: new Float64Array(columns),
    cos: new Float64Array(columns).fill(1),
  };
  const recipe = { ...plainRecipe, smoothing: 0.8 };
  const chain = makeChain(
    lines,
    { faceCm: 0, depthCm: plane.depth, acrossSigma: 1.1, hazeWide: 4 },
    recipe,
    makeSpeckle(random),
  );
  chain.sounder.seed(seed);
  for (let n = 0; n < columns; n += 1) {
    const heart = heartAt(anatomy, momentOf(times, (n + 0.5) * secondsPerPx * 1000));
    chain.sounder.sound(heart.echo, plane, { sin: 0, cos: 1, gain: 1, from: n * rows });
  }
  const bright = chain.finish();
  const luma = new Uint8Array(widthPx * heightPx);
  for (let n = 0; n < columns; n += 1)
    for (let row = 0; row < rows; row += 1)
      luma[(box.y0 + row) * widthPx + box.x0 + n] = bright[n * rows + row] as number;
  drawFrame(luma, widthPx, heightPx, box, wish, cmPerPx, secondsPerPx);
  const events = eventsWithin(times, wish.sweepMs);
  const edgesAt = (timeMs: number): MModeEdges => ({
    timeMs,
    ...wallEdges(heartAt(anatomy, momentOf(times, timeMs)), anatomy, plane),
  });
  return {
    widthPx,
    heightPx,
    frames: [luma],
    mode: 'm-mode',
    species: wish.species,
    weightKg: wish.weightKg,
    heartRate: wish.heartRate,
    frameTimeMs: null,
    rWaveTimesMs: [],
    regions: [
      {
        ...box,
        format: 2,
        type: 1,
        flags: 2,
        unitX: 4,
        unitY: 3,
        deltaX: secondsPerPx,
        deltaY: cmPerPx,
        referenceX: 0,
        referenceY: 0,
      },
    ],
    truth: {
      endDiastole: events.diastoleMs.map(edgesAt),
      endSystole: events.systoleMs.map(edgesAt),
      secondsPerPx,
      cmPerPx,
      rWaveTimesMs: events.diastoleMs,
    },
  };
}

/** Where the beam through the middle crosses the walls: found by halving on what is cavity and what is heart. */
function wallEdges(heart: HeartNow, anatomy: Anatomy, plane: CutPlane): Omit<MModeEdges, 'timeMs'> {
  const place = new Float64Array(3);
  const { target, targetDepth } = plane;
  const outside = (d: number): number => {
    heart.ventricle.still(0, d, target.w, place);
    return heart.ventricle.outer(place[0] as number, place[1] as number, place[2] as number);
  };
  const cavity = (d: number): number => (heart.inCavity(0, d, target.w) ? -1 : 1);
  const reach = anatomy.radius + anatomy.size.ivsdCm + anatomy.size.freeWallDCm + anatomy.unit;
  const edge = (value: (d: number) => number, sign: 1 | -1): number => {
    let low = 0;
    let high = reach;
    for (let n = 0; n < 50; n += 1) {
      const middle = (low + high) / 2;
      if (value(sign * middle) < 0) low = middle;
      else high = middle;
    }
    return targetDepth + sign * low;
  };
  return {
    septumTopCm: edge(outside, -1),
    septumBottomCm: edge(cavity, -1),
    freeWallTopCm: edge(cavity, 1),
    freeWallBottomCm: edge(outside, 1),
  };
}

function drawFrame(
  luma: Uint8Array,
  widthPx: number,
  heightPx: number,
  box: { readonly x0: number; readonly y0: number; readonly x1: number; readonly y1: number },
  wish: MModeWish,
  cmPerPx: number,
  secondsPerPx: number,
): void {
  drawText(luma, widthPx, 12, 10, wish.words.patientLine, 2, 220);
  drawText(luma, widthPx, 12, 30, wish.words.secondLine, 1, 170);
  drawText(luma, widthPx, 12, heightPx - 20, wish.words.viewLine, 1, 170);
  for (let cm = 0; box.y0 + cm / cmPerPx <= box.y1; cm += 1) {
    const y = Math.round(box.y0 + cm / cmPerPx);
    fillBox(luma, widthPx, box.x1 + 8, y, cm % 5 === 0 ? 12 : 7, 1, 210);
    if (cm % 5 === 0 && cm > 0) drawText(luma, widthPx, box.x1 + 24, y - 3, String(cm), 1, 190);
  }
  for (let tick = 0; box.x0 + (0.2 * tick) / secondsPerPx <= box.x1; tick += 1)
    fillBox(
      luma,
      widthPx,
      Math.round(box.x0 + (0.2 * tick) / secondsPerPx),
      box.y1 + 6,
      1,
      tick % 5 === 0 ? 9 : 5,
      210,
    );
}
