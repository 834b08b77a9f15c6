import { exactSin } from '@chordae/units';
import type { Anatomy, Variation } from './anatomy';
import { buildAnatomy, plainVariation } from './anatomy';
import type { BeatTimes } from './beat-times';
import { beatTimes, eventsWithin, momentOf } from './beat-times';
import type { Chamber } from './chambers';
import type { CutPlane } from './cut-plane';
import { tilted } from './cut-plane';
import type { Fan } from './fan';
import { enlarged, fanFor } from './fan';
import type { ScreenFurniture, ScreenWords, TraceLine } from './furniture';
import { drawFurniture, markTrace, plainFurniture } from './furniture';
import { heartAt } from './heart';
import type { PhantomHeart, PhantomSpecies } from './heart-size';
import { heartSize } from './heart-size';
import { lungAt, lungPoint } from './lung';
import type { Outline } from './outlines';
import { cavityOutline, rootOutline, toScreen } from './outlines';
import type { Random } from './random';
import { seededRandom } from './random';
import type { Recipe } from './recipe';
import { plainRecipe } from './recipe';
import type { Ruler } from './ruler';
import { makeScanner } from './scanner';
import { makeSpeckle } from './speckle';
import { plus } from './vectors';
import type { PhantomView } from './views';
import { planeFor } from './views';

export interface PhantomWish {
  readonly view: PhantomView;
  readonly species: PhantomSpecies;
  readonly weightKg: number;
  readonly heart: PhantomHeart;
  /** How much of the disease's change is there; 1 where not said. */
  readonly severity?: number;
  /** Beats per minute. */
  readonly heartRate: number;
  readonly frameCount: number;
  /** ms from frame to frame. */
  readonly frameTimeMs: number;
  /** Text burnt into the picture; null leaves text, ruler and grey bar away. */
  readonly words: ScreenWords | null;
  /** What stands round the fan, where words are given. */
  readonly furniture?: Partial<ScreenFurniture>;
  readonly widthPx?: number;
  readonly heightPx?: number;
  /** How far the plane is tipped out of the view's own, degrees, and which way (0 right of the picture, 90 downwards). */
  readonly tiltDeg?: number;
  readonly tiltAzimuthDeg?: number;
  /** Shift of a short axis towards the base, part of the ventricle's half length. */
  readonly levelShift?: number;
  /** Part of a beat that is over at the first frame. */
  readonly startPhase?: number;
  /** Standard deviation of the beats' intervals, part of the mean. */
  readonly rhythmJitter?: number;
  /** Left and right of the picture exchanged. */
  readonly mirrored?: boolean;
  /** Number of B-lines at a lung point; none where not said. */
  readonly bLines?: number;
  readonly variation?: Partial<Variation>;
  readonly recipe?: Partial<Recipe>;
  /**
   * Opening of half the fan, degrees; radius of the probe as part of the depth (1.5 degrees and 20 look like a linear probe); depth
   * against the view's own; enlargement on the screen (above 1 the fan is cut by the picture's edge); level upper edge.
   */
  readonly fan?: {
    readonly halfAngleDeg?: number;
    readonly facePart?: number;
    readonly depthScale?: number;
    readonly zoom?: number;
    readonly flatTop?: boolean;
  };
}

/** What is true of a phantom, to check computing against. */
export interface PhantomTruth {
  readonly pxPerCm: number;
  /** The depth ruler as drawn; null where none is. */
  readonly ruler: Ruler | null;
  readonly trace: TraceLine | null;
  readonly lvIddMm: number;
  readonly lvIdsMm: number;
  readonly ivsdMm: number;
  readonly freeWallDMm: number;
  readonly aorticRootMm: number;
  readonly leftAtriumMm: number;
  /** Width of the right ventricle's crescent over the septum at end diastole, mm. */
  readonly rvIddMm: number;
  readonly septumFlatD: number;
  readonly septumFlatS: number;
  readonly bLines: number;
  /** Ventricle's radius by the half length of its ellipsoid. */
  readonly slenderness: number;
  readonly tiltDeg: number;
  readonly tiltAzimuthDeg: number;
  readonly levelShift: number;
  /** Numbers from 0, nearest to the moments. */
  readonly endDiastoleFrames: readonly number[];
  readonly endSystoleFrames: readonly number[];
  readonly endDiastoleMs: readonly number[];
  readonly endSystoleMs: readonly number[];
  readonly frameTimesMs: readonly number[];
  readonly rWaveTimesMs: readonly number[];
  /** Mean rate of the beats that lie in the clip; the wish's where there are fewer than two R waves. */
  readonly heartRate: number;
  /** Middle of the left ventricle on the screen, pixels. */
  readonly lvCentre: { readonly x: number; readonly y: number };
  /** Diameter of the left ventricle in each frame, mm. */
  readonly lvDiameterMm: readonly number[];
  /** Outline of the cavity and of the aortic root in each frame; null where the plane does not show it. */
  readonly lvOutlines: readonly (Outline | null)[];
  readonly rootOutlines: readonly (Outline | null)[];
}

export interface PhantomClip {
  readonly wish: PhantomWish;
  readonly fan: Fan;
  /** One byte a pixel, row by row. */
  readonly frames: readonly Uint8Array[];
  readonly truth: PhantomTruth;
}

interface Scene {
  readonly anatomy: Anatomy;
  readonly plane: CutPlane;
  readonly fan: Fan;
  readonly times: BeatTimes;
  readonly frameTimesMs: readonly number[];
  readonly zoomed: boolean;
}

function sceneOf(wish: PhantomWish, random: Random): Scene {
  const { widthPx = 800, heightPx = 600, tiltDeg = 0, tiltAzimuthDeg = 0, levelShift = 0 } = wish;
  const size = heartSize(wish.species, wish.weightKg, wish.heart, wish.severity);
  const anatomy = buildAnatomy(size, { ...plainVariation, ...wish.variation });
  const plane = tilted(planeFor(wish.view, anatomy, levelShift), tiltDeg, tiltAzimuthDeg);
  const { halfAngleDeg, facePart, depthScale = 1, zoom = 1 } = wish.fan ?? {};
  const whole = fanFor(widthPx, heightPx, plane.depth * depthScale, halfAngleDeg, facePart);
  const fan = { ...enlarged(whole, zoom), flatTop: wish.fan?.flatTop ?? false };
  const frameTimesMs = Array.from({ length: wish.frameCount }, (_, n) => n * wish.frameTimeMs);
  const last = frameTimesMs.at(-1) ?? 0;
  const times = beatTimes(wish.heartRate, wish.startPhase ?? 0, wish.rhythmJitter ?? 0, last, random);
  return { anatomy, plane, fan, times, frameTimesMs, zoomed: zoom > 1 };
}

/** One breath, ms. */
const breathMs = 2600;

/** Makes a beating clip with known truth. About 90 ms a frame at 800 by 600, 20 ms at 256 by 192. */
export function makePhantomClip(wish: PhantomWish, random: Random): PhantomClip {
  const scene = sceneOf(wish, random);
  const { fan, anatomy, plane, times, frameTimesMs } = scene;
  const scanner = makeScanner(fan, { ...plainRecipe, ...wish.recipe }, makeSpeckle(random), random);
  const background = new Uint8Array(fan.widthPx * fan.heightPx);
  const lastMs = frameTimesMs.at(-1) ?? 0;
  const drawn = wish.words
    ? drawFurniture(background, fan, wish.words, { ...plainFurniture, ...wish.furniture }, times, lastMs)
    : null;
  const lung = wish.view === 'lung-points' ? lungPoint(anatomy.unit, wish.bLines ?? 0) : null;
  const flip = wish.mirrored === true;
  const outlines: { lv: Outline | null; root: Outline | null }[] = [];
  const frames = frameTimesMs.map((time, n) => {
    const luma = background.slice();
    const heart = heartAt(anatomy, momentOf(times, time));
    const breath = exactSin((time / breathMs) * 2 * Math.PI);
    scanner.draw(lung ? lungAt(lung, breath) : heart.echo, plane, luma, n);
    if (drawn && (scene.zoomed || drawn.ruler.slantRad !== 0)) overlay(background, luma);
    if (drawn?.trace) markTrace(luma, fan, drawn.trace, time);
    const lv = lung ? null : cavityOutline(heart, anatomy, plane, fan);
    const root = lung ? null : rootOutline(heart, anatomy, plane, fan);
    if (flip) {
      mirrorPicture(luma, fan.widthPx);
      mirrorOutline(lv, fan.widthPx);
      mirrorOutline(root, fan.widthPx);
    }
    outlines.push({ lv, root });
    return luma;
  });
  const truth = truthOf(wish, scene);
  return {
    wish,
    fan,
    frames,
    truth: {
      ...truth,
      ruler: drawn?.ruler ?? null,
      trace: drawn?.trace ?? null,
      lvOutlines: outlines.map((o) => o.lv),
      rootOutlines: outlines.map((o) => o.root),
    },
  };
}

/** The clip of a wish and a seed: the same bytes each time. */
export function renderCine(wish: PhantomWish, seed: number): PhantomClip {
  return makePhantomClip(wish, seededRandom(seed));
}

/** Which chamber stands at a place of the picture in a frame of the clip of this wish and seed; null for walls and all else. */
export function chambersOnScreen(
  wish: PhantomWish,
  seed: number,
): (frame: number, xPx: number, yPx: number) => Chamber | null {
  const { anatomy, plane, fan, times, frameTimesMs } = sceneOf(wish, seededRandom(seed));
  const hearts = frameTimesMs.map((time) => heartAt(anatomy, momentOf(times, time)));
  return (frame, xPx, yPx) => {
    const x = wish.mirrored ? fan.widthPx - xPx : xPx;
    const right = (x - fan.apexX) / fan.pxPerCm;
    const down = (yPx - fan.apexY) / fan.pxPerCm - fan.faceCm - plane.targetDepth;
    const at = plus(plus(plane.target, plane.right, right), plane.down, down);
    return hearts[frame]?.chamberAt(at.r, at.d, at.w) ?? null;
  };
}

/** Text and ruler stand above a fan that reaches under them. */
function overlay(above: Uint8Array, luma: Uint8Array): void {
  for (let n = 0; n < luma.length; n += 1) if ((above[n] as number) > 0) luma[n] = above[n] as number;
}

function mirrorPicture(luma: Uint8Array, widthPx: number): void {
  for (let from = 0; from < luma.length; from += widthPx) luma.subarray(from, from + widthPx).reverse();
}

function mirrorOutline(outline: Outline | null, widthPx: number): void {
  if (outline) for (let n = 0; n < outline.length; n += 2) outline[n] = widthPx - (outline[n] as number);
}

function truthOf(wish: PhantomWish, scene: Scene): PhantomTruth {
  const { anatomy, fan, plane, times, frameTimesMs } = scene;
  const { size, rightVentricle } = anatomy;
  const last = frameTimesMs.at(-1) ?? 0;
  const events = eventsWithin(times, last);
  const nearest = (time: number): number =>
    Math.min(wish.frameCount - 1, Math.round(time / wish.frameTimeMs));
  const beats = events.diastoleMs.length - 1;
  const spanMs = (events.diastoleMs.at(-1) ?? 0) - (events.diastoleMs[0] ?? 0);
  const centre = toScreen(fan, plane, {
    r: 0,
    d: 0,
    w: wish.view.startsWith('rps-short') ? plane.target.w : 0,
  });
  return {
    pxPerCm: fan.pxPerCm,
    ruler: null,
    trace: null,
    lvIddMm: size.lvIddCm * 10,
    lvIdsMm: size.lvIdsCm * 10,
    ivsdMm: size.ivsdCm * 10,
    freeWallDMm: size.freeWallDCm * 10,
    aorticRootMm: anatomy.aorta.radius * 20,
    leftAtriumMm: anatomy.leftAtrium.radii.d * 20,
    rvIddMm: 10 * (rightVentricle.radii.d - rightVentricle.at.d - anatomy.radius - size.ivsdCm),
    septumFlatD: size.septumFlatD,
    septumFlatS: size.septumFlatS,
    bLines: wish.view === 'lung-points' ? (wish.bLines ?? 0) : 0,
    slenderness: anatomy.radius / anatomy.halfLength,
    tiltDeg: wish.tiltDeg ?? 0,
    tiltAzimuthDeg: wish.tiltAzimuthDeg ?? 0,
    levelShift: wish.levelShift ?? 0,
    endDiastoleFrames: events.diastoleMs.map(nearest),
    endSystoleFrames: events.systoleMs.map(nearest),
    endDiastoleMs: events.diastoleMs,
    endSystoleMs: events.systoleMs,
    frameTimesMs,
    rWaveTimesMs: events.diastoleMs,
    heartRate: beats > 0 ? (60_000 * beats) / spanMs : wish.heartRate,
    lvCentre: wish.mirrored ? { x: fan.widthPx - centre.x, y: centre.y } : centre,
    lvDiameterMm: frameTimesMs.map(
      (time) => 10 * (size.lvIddCm - (size.lvIddCm - size.lvIdsCm) * momentOf(times, time).contraction),
    ),
    lvOutlines: [],
    rootOutlines: [],
  };
}
