import { exactCos } from '@chordae/units';
import { describe, expect, it } from 'vitest';
import type { PhantomWish } from './index';
import {
  chambersOnScreen,
  exampleWish,
  outlineMask,
  outlineShape,
  phantomFamilies,
  phantomHearts,
  phantomViews,
  randomCine,
  renderCine,
} from './index';

// Small pictures: outlines are exact at any size.
const plain: PhantomWish = {
  view: 'rps-short-papillary',
  species: 'dog',
  weightKg: 18,
  heart: 'normal',
  heartRate: 100,
  frameCount: 1,
  frameTimeMs: 30,
  words: null,
  widthPx: 256,
  heightPx: 192,
};

function shapeOf(wish: PhantomWish): {
  areaPx2: number;
  axisRatio: number;
  pxPerCm: number;
  slenderness: number;
} {
  const { truth } = renderCine({ ...wish, frameCount: 1 }, 4);
  const outline = truth.lvOutlines[0];
  if (!outline) throw new Error('the plane misses the ventricle');
  return { ...outlineShape(outline), pxPerCm: truth.pxPerCm, slenderness: truth.slenderness };
}

describe('the outline of the ventricle', () => {
  // Circle of the diameter that the truth names, at the height of the cut: area π r² (1 − level²).
  it('has the area of the circle that the sizes give', () => {
    const { areaPx2, pxPerCm } = shapeOf(plain);
    const { truth } = renderCine(plain, 4);
    const r = (truth.lvIddMm / 20) * pxPerCm;
    expect(areaPx2 / (Math.PI * r * r * (1 - 0.03 * 0.03))).toBeCloseTo(1, 2);
  });

  // Section of an ellipsoid of revolution: q² = cos²a + k² sin²a (elementary geometry, as parallel sections are similar).
  it('follows the cosine rule of a tilted ellipsoid, whichever way it is tilted', () => {
    for (const tiltDeg of [10, 20, 30, 40])
      for (const tiltAzimuthDeg of [0, 65]) {
        const { axisRatio, slenderness } = shapeOf({ ...plain, tiltDeg, tiltAzimuthDeg });
        const cos = exactCos((tiltDeg / 180) * Math.PI);
        const q = Math.sqrt(cos * cos + slenderness * slenderness * (1 - cos * cos));
        expect(axisRatio).toBeCloseTo(q, 2);
      }
  });

  it('is flattened by a pushed-in septum and not by thick walls', () => {
    expect(shapeOf({ ...plain, heart: 'right-overload' }).axisRatio).toBeLessThan(0.93);
    expect(shapeOf({ ...plain, heart: 'thick-walls' }).axisRatio).toBeGreaterThan(0.99);
  });

  it('fills a mask of its own area', () => {
    const { truth, fan } = renderCine(plain, 4);
    const outline = truth.lvOutlines[0];
    if (!outline) throw new Error('the plane misses the ventricle');
    const mask = outlineMask(outline, fan.widthPx, fan.heightPx);
    expect(mask.reduce((sum, one) => sum + one, 0) / outlineShape(outline).areaPx2).toBeCloseTo(1, 1);
  });

  it('is dark inside and bright just outside', () => {
    for (const heart of phantomHearts) {
      const { truth, fan, frames } = renderCine({ ...plain, heart, frameCount: 1 }, 9);
      const outline = truth.lvOutlines[0];
      if (!outline) throw new Error('the plane misses the ventricle');
      const { centre } = outlineShape(outline);
      const mean = (factor: number): number => {
        let sum = 0;
        // The upper half: below stand the papillary muscles.
        for (let n = outline.length / 2; n < outline.length; n += 2) {
          const x = centre.x + factor * ((outline[n] as number) - centre.x);
          const y = centre.y + factor * ((outline[n + 1] as number) - centre.y);
          sum += frames[0]?.[Math.floor(y) * fan.widthPx + Math.floor(x)] ?? 0;
        }
        return sum / (outline.length / 4);
      };
      expect(mean(1.15), heart).toBeGreaterThan(mean(0.4) + 50);
    }
  });
});

describe('the aortic root', () => {
  it('is round when cut square, and its axis ratio falls with the cosine of the tilt', () => {
    const ratio = (tiltDeg: number): number => {
      const { truth } = renderCine({ ...plain, view: 'rps-short-aortic', tiltDeg, tiltAzimuthDeg: 40 }, 4);
      const outline = truth.rootOutlines[0];
      if (!outline) throw new Error('the plane misses the root');
      return outlineShape(outline).axisRatio;
    };
    expect(ratio(0)).toBeGreaterThan(0.99);
    // The root is a tube that bulges a little, so the rule holds roughly.
    expect(Math.abs(ratio(30) - exactCos(Math.PI / 6))).toBeLessThan(0.06);
  });
});

describe('the fan', () => {
  const litRows = (fan: PhantomWish['fan'], x: number): number[] => {
    const { frames } = renderCine({ ...plain, fan }, 3);
    return Array.from({ length: 192 }, (_, y) => y).filter((y) => (frames[0]?.[y * 256 + x] ?? 0) > 0);
  };

  it('can have a level upper edge, be cut by the picture, or look like that of a linear probe', () => {
    const curved = { facePart: 0.5, halfAngleDeg: 35 };
    expect(litRows(curved, 100)[0]).toBeLessThan((litRows(curved, 128)[0] ?? 0) - 1);
    const level = { ...curved, flatTop: true };
    expect(litRows(level, 100)[0]).toBe(litRows(level, 128)[0]);
    expect(litRows({ zoom: 1.3 }, 128).at(-1)).toBe(191);
    expect(litRows({}, 128).at(-1)).toBeLessThan(185);
    const linear = { halfAngleDeg: 1.5, facePart: 20 };
    const middle = renderCine({ ...plain, fan: linear }, 3);
    const wide = (y: number): number =>
      (middle.frames[0] ?? new Uint8Array()).subarray(y * 256, (y + 1) * 256).filter((v) => v > 0).length;
    expect(wide(150) / wide(40)).toBeLessThan(1.08);
  });
});

describe('a drawn clip', () => {
  it('mirrors picture and truth together', () => {
    const a = renderCine({ ...plain, tiltDeg: 20 }, 7);
    const b = renderCine({ ...plain, tiltDeg: 20, mirrored: true }, 7);
    const row = 100 * 256;
    expect(b.frames[0]?.[row + 30]).toBe(a.frames[0]?.[row + 225]);
    expect(b.truth.lvOutlines[0]?.[0]).toBeCloseTo(256 - (a.truth.lvOutlines[0]?.[0] ?? 0), 9);
  });

  it('comes back byte for byte from its seed in every family, and differs between seeds', () => {
    for (const family of phantomFamilies) {
      const [a, b, c] = [11, 11, 12].map((seed) => {
        const wish = { ...randomCine(seed, family), frameCount: 2 };
        return Buffer.from(renderCine(wish, seed).frames[1] ?? []);
      });
      expect(a?.equals(b ?? Buffer.alloc(0))).toBe(true);
      expect(a?.equals(c ?? Buffer.alloc(0))).toBe(false);
    }
  });

  it('draws every view of every heart within its fan, in bounded time, neither black nor white', () => {
    for (const view of phantomViews) {
      for (const species of ['dog', 'cat', 'horse'] as const) {
        const started = performance.now();
        const weightKg = { dog: 22, cat: 4.4, horse: 520 }[species];
        const { frames, fan, truth } = renderCine(
          { ...plain, view, species, weightKg, widthPx: 160, heightPx: 120 },
          3,
        );
        // Generous: the machine may be busy with other tests.
        expect(performance.now() - started).toBeLessThan(10_000);
        const luma = frames[0] ?? new Uint8Array();
        const lit = luma.filter((level) => level > 60).length / luma.length;
        expect(lit, `${view} ${species}`).toBeGreaterThan(0.08);
        expect(luma.filter((level) => level > 250).length / luma.length).toBeLessThan(0.08);
        expect(luma[0]).toBe(0);
        expect(truth.pxPerCm * fan.depthCm).toBeLessThan(120);
      }
    }
  }, 90_000);

  it('plays an example round without a jump: the first frame follows the last as any other does', () => {
    const wish = { ...exampleWish('rps-short-papillary', 'cat'), widthPx: 160, heightPx: 120, words: null };
    const { lvDiameterMm } = renderCine(wish, 5).truth;
    const steps = lvDiameterMm.map((d, n) =>
      Math.abs(d - (lvDiameterMm[(n + 1) % lvDiameterMm.length] ?? 0)),
    );
    expect(steps.at(-1)).toBeLessThanOrEqual(Math.max(...steps.slice(0, -1)));
    expect(wish.frameCount * wish.frameTimeMs).toBeCloseTo((2 * 60_000) / 184, 6);
    expect(exampleWish('eq-l-2ch').species).toBe('horse');
  });

  it('covers tilts, hearts and both species over seeds', () => {
    const wishes = Array.from({ length: 200 }, (_, seed) => randomCine(seed, 'developing'));
    expect(new Set(wishes.map((w) => w.heart)).size).toBe(7);
    expect(new Set(wishes.map((w) => w.species)).size).toBe(2);
    const tilts = wishes.map((w) => w.tiltDeg ?? -1);
    expect(Math.min(...tilts)).toBeLessThan(2);
    expect(Math.max(...tilts)).toBeGreaterThan(40);
  });
});

describe('the chambers on the screen', () => {
  it('are those of the outlines: left ventricle within its outline, walls beyond it', () => {
    const { truth } = renderCine(plain, 4);
    const outline = truth.lvOutlines[0];
    if (!outline) throw new Error('the plane misses the ventricle');
    const { centre } = outlineShape(outline);
    const at = chambersOnScreen(plain, 4);
    for (let n = 0; n < outline.length; n += 2) {
      const [dx, dy] = [(outline[n] as number) - centre.x, (outline[n + 1] as number) - centre.y];
      expect(at(0, centre.x + 0.96 * dx, centre.y + 0.96 * dy)).toBe('left-ventricle');
      expect(at(0, centre.x + 1.05 * dx, centre.y + 1.05 * dy)).toBeNull();
    }
  });

  it('are mirrored with the picture', () => {
    const wish: PhantomWish = { ...plain, view: 'rps-long-4ch' };
    const [at, mirrored] = [chambersOnScreen(wish, 4), chambersOnScreen({ ...wish, mirrored: true }, 4)];
    const seen = new Set<string | null>();
    for (let x = 4.5; x < 256; x += 8)
      for (let y = 4.5; y < 192; y += 8) {
        expect(mirrored(0, 256 - x, y)).toBe(at(0, x, y));
        seen.add(at(0, x, y));
      }
    expect(seen).toEqual(new Set(['left-atrium', 'left-ventricle', 'right-atrium', 'right-ventricle', null]));
  });
});
