import type { GrayFrame, SectorGeometry } from '@chordae/imaging';
import type { PhantomClip, Random } from '@chordae/phantom';
import { chambersOnScreen, randomCine, renderCine, seededRandom } from '@chordae/phantom';
import type { Grid } from '../../src/learned/finder/grid';
import { centiles, gridCells, seeOverTime } from '../../src/learned/finder/grid';
import { gridSide } from '../../src/learned/finder/network';
import type { Window } from '../../src/picture/shrink';
import { makeWorkingClip } from '../../src/picture/working';
import { fanBox, shapeOfGeometry } from '../../src/sector/sector-geometry';
import type { FinderRecipe, FinderSet } from './recipe';
import { finderBeats, finderFrames, finderWidthsPx } from './recipe';

/** Planes of bytes: centiles over time, how much lies in the sector, then the true maps. */
export const seenPlanes = centiles.length + 1;

export function finderSampleBytes(recipe: Pick<FinderRecipe, 'maps'>): number {
  return (seenPlanes + recipe.maps.length) * gridCells;
}

export interface FinderLabels {
  readonly heart: string;
  readonly tiltDeg: number;
}

export interface FinderSample {
  readonly bytes: Uint8Array;
  readonly labels: FinderLabels;
}

/** The sector of a phantom, found nearly right. */
export function nearlyTheFan({ fan }: PhantomClip, random: Random): SectorGeometry {
  const off = (size: number): number => size * (2 * random() - 1);
  const sector: SectorGeometry = {
    shape: 'fan',
    widthPx: fan.widthPx,
    heightPx: fan.heightPx,
    apexXPx: fan.apexX + off(1.5),
    apexYPx: fan.apexY + off(1.5),
    leftAngleRad: -fan.halfAngle + off(0.015),
    rightAngleRad: fan.halfAngle + off(0.015),
    innerRadiusPx: fan.faceCm * fan.pxPerCm + off(1.5),
    outerRadiusPx: (fan.faceCm + fan.depthCm) * fan.pxPerCm + off(2),
    box: { x0: 0, y0: 0, x1: fan.widthPx, y1: fan.heightPx },
    confidence: 1,
    clippedFraction: 0,
    otherPanels: [],
    reasons: [],
  };
  return { ...sector, box: fanBox(shapeOfGeometry(sector), fan.widthPx, fan.heightPx) };
}

/** Frames of the phantom of a set's number, spread evenly over about a beat. */
export function finderClip(
  recipe: FinderRecipe,
  set: FinderSet,
  number: number,
): {
  readonly clip: PhantomClip;
  readonly seed: number;
  readonly random: Random;
} {
  const seed = set.firstSeed + number;
  const random = seededRandom(seed ^ 0x27d4eb2f);
  const widthPx = finderWidthsPx[Math.floor(random() * finderWidthsPx.length)] as number;
  const wish = randomCine(seed, set.family, {
    view: recipe.view,
    maxTiltDeg: recipe.maxTiltDeg,
    widthPx,
    heightPx: (3 * widthPx) / 4,
  });
  const [least, most] = finderBeats;
  const beats = least + (most - least) * random();
  const frameTimeMs = ((60_000 / wish.heartRate) * beats) / finderFrames;
  return { clip: renderCine({ ...wish, frameCount: finderFrames, frameTimeMs }, seed), seed, random };
}

/** The sample of one phantom. */
export function finderSampleOf(recipe: FinderRecipe, set: FinderSet, number: number): FinderSample {
  const { clip, seed, random } = finderClip(recipe, set, number);
  const { widthPx, heightPx } = clip.fan;
  const frames: GrayFrame[] = clip.frames.map((luma) => ({ widthPx, heightPx, luma }));
  const working = makeWorkingClip(frames, nearlyTheFan(clip, random));
  const { grid, greys, inside } = seeOverTime(working);
  const bytes = new Uint8Array(finderSampleBytes(recipe));
  greys.forEach((grey, k) => {
    bytes.set(grey.map(Math.round), k * gridCells);
  });
  bytes.set(
    inside.map((part) => Math.round(255 * part)),
    centiles.length * gridCells,
  );
  const chamberAt = chambersOnScreen(clip.wish, seed);
  const diameters = clip.truth.lvDiameterMm;
  const largest = diameters.indexOf(Math.max(...diameters));
  const smallest = diameters.indexOf(Math.min(...diameters));
  recipe.maps.forEach(({ chamber, when }, k) => {
    const moments =
      when === 'largest' ? [largest] : when === 'smallest' ? [smallest] : diameters.map((_, n) => n);
    const to = bytes.subarray((seenPlanes + k) * gridCells, (seenPlanes + k + 1) * gridCells);
    const counts = new Uint16Array(gridCells);
    for (const frame of moments)
      eachPlace(grid, working, inside, (at, x, y) => {
        if (chamberAt(frame, x, y) === chamber) counts[at] = (counts[at] as number) + 1;
      });
    to.set(counts.map((count) => Math.round((255 * count) / (4 * moments.length))));
  });
  return { bytes, labels: { heart: clip.wish.heart, tiltDeg: clip.truth.tiltDeg } };
}

/** Four places in each cell of the grid that touches the sector, in the picture's own pixels. */
function eachPlace(
  grid: Grid,
  working: { readonly window: Window; readonly scale: number },
  inside: Float32Array,
  visit: (at: number, x: number, y: number) => void,
): void {
  for (let at = 0; at < gridCells; at += 1) {
    if (inside[at] === 0) continue;
    for (let n = 0; n < 4; n += 1) {
      const x = grid.x0 + ((at % gridSide) + ((n & 1) + 0.5) / 2) * grid.cell;
      const y = grid.y0 + (Math.floor(at / gridSide) + ((n >> 1) + 0.5) / 2) * grid.cell;
      visit(at, working.window.x0 + x * working.scale, working.window.y0 + y * working.scale);
    }
  }
}
