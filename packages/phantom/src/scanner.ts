import type { CutPlane } from './cut-plane';
import type { BeamGrid, Fan, PixelMap } from './fan';
import { beamGrid, pixelMap } from './fan';
import type { HeartEcho } from './heart';
import { makeChain } from './picture-chain';
import type { Random } from './random';
import type { Recipe } from './recipe';
import type { Speckle } from './speckle';

export interface Scanner {
  readonly fan: Fan;
  /** Draws one moment of a heart, cut by a plane, into a picture of luma, over what is there. `frame` seeds its noise. */
  draw(heart: HeartEcho, plane: CutPlane, luma: Uint8Array, frame: number): void;
}

/** Prepares the beams and the way from beams to pixels once for a clip. */
export function makeScanner(fan: Fan, recipe: Recipe, speckle: Speckle, random: Random): Scanner {
  const grid = beamGrid(fan);
  const map = pixelMap(fan, grid);
  const window = acousticWindow(grid, recipe, random);
  const noiseSeed = Math.floor(random() * 0x7fffffff);
  const chain = makeChain(
    grid,
    {
      faceCm: fan.faceCm,
      depthCm: fan.depthCm,
      acrossSigma: (recipe.beamWidth * grid.beams) / 200,
      hazeWide: Math.max(3, Math.round(grid.beams * 0.09)),
    },
    recipe,
    speckle,
  );
  return {
    fan,
    draw(heart, plane, luma, frame) {
      chain.sounder.seed(noiseSeed + 7919 * frame);
      for (let n = 0; n < grid.beams; n += 1)
        chain.sounder.sound(heart, plane, {
          sin: grid.sin[n] as number,
          cos: grid.cos[n] as number,
          gain: window[n] as number,
          from: n * grid.samples,
        });
      toPixels(map, grid.samples, chain.finish(), luma);
    },
  };
}

/** How well each beam comes through the chest: slow waves, edges of the fan a little darker, shadows. */
function acousticWindow(grid: BeamGrid, recipe: Recipe, random: Random): Float32Array {
  const window = new Float32Array(grid.beams);
  const knots = Array.from({ length: 9 }, () => 0.82 + 0.3 * random());
  for (let n = 0; n < grid.beams; n += 1) {
    const place = (2 * n) / (grid.beams - 1) - 1;
    const knot = ((place + 1) / 2) * 7.999;
    const k = Math.floor(knot);
    const t = knot - k;
    const smooth = t * t * (3 - 2 * t);
    let gain = (knots[k] as number) * (1 - smooth) + (knots[k + 1] as number) * smooth;
    const edge = Math.abs(place);
    if (edge > 0.8) gain *= 1 - 1.6 * (edge - 0.8);
    for (const shadow of recipe.shadows) {
      const off = Math.abs(place - shadow.centre) / shadow.half;
      if (off < 1) gain *= 1 - shadow.dark * Math.min(1, 2.5 * (1 - off));
    }
    window[n] = gain;
  }
  return window;
}

function toPixels(map: PixelMap, samples: number, bright: Float32Array, luma: Uint8Array): void {
  const { pixel, cell, alongBeam, acrossBeam } = map;
  for (let n = 0; n < pixel.length; n += 1) {
    const c = cell[n] as number;
    const fs = alongBeam[n] as number;
    const fb = acrossBeam[n] as number;
    const here = (bright[c] as number) * (1 - fs) + (bright[c + 1] as number) * fs;
    const next = (bright[c + samples] as number) * (1 - fs) + (bright[c + samples + 1] as number) * fs;
    luma[pixel[n] as number] = Math.round(here * (1 - fb) + next * fb);
  }
}
