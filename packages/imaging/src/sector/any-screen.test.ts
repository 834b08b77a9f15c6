import type { Random } from '@chordae/phantom';
import { seededRandom } from '@chordae/phantom';
import { describe, expect, it } from 'vitest';
import type { GrayFrame } from '../gray-frame';
import { findDepthRuler } from '../ruler/find-ruler';
import { detectSectorGeometry } from './detect-sector';

/** Rectangles, noise, rows of marks and slanted lines thrown on a screen of any size; some of it moves. */
function thrown(random: Random): GrayFrame[] {
  const widthPx = 24 + Math.floor(260 * random());
  const heightPx = 24 + Math.floor(260 * random());
  const shapes = Array.from({ length: Math.floor(7 * random()) }, () => ({
    x0: Math.floor(widthPx * random()),
    y0: Math.floor(heightPx * random()),
    wide: 1 + Math.floor(widthPx * random()),
    high: 1 + Math.floor(heightPx * random()),
    kind: Math.floor(4 * random()),
    grey: 256 * random(),
    moves: random() < 0.5,
  }));
  const background = random() < 0.3 ? 60 * random() : 0;
  return Array.from({ length: 1 + Math.floor(4 * random()) }, (_, frame) => {
    const luma = new Uint8Array(widthPx * heightPx).fill(background);
    for (const { x0, y0, wide, high, kind, grey, moves } of shapes)
      for (let y = y0; y < Math.min(heightPx, y0 + high); y += 1)
        for (let x = x0; x < Math.min(widthPx, x0 + wide); x += 1) {
          const shift = moves ? frame * 3 : 0;
          const lit =
            kind === 0
              ? grey
              : kind === 1
                ? grey * random()
                : kind === 2
                  ? (y + shift) % 9 === 0 && x - x0 < 4
                    ? 230
                    : 0
                  : (x + y + shift) % 13 < 2
                    ? grey
                    : 0;
          if (lit > 0) luma[y * widthPx + x] = lit;
        }
    return { widthPx, heightPx, luma };
  });
}

function numbersOf(value: unknown): number[] {
  if (typeof value === 'number') return [value];
  return typeof value === 'object' && value !== null ? Object.values(value).flatMap(numbersOf) : [];
}

describe('any screen', () => {
  it('gives a sector within the picture and a ruler, or none, in numbers that are some', () => {
    for (let seed = 1; seed <= 24; seed += 1) {
      const frames = thrown(seededRandom(seed));
      const { widthPx, heightPx } = frames[0] as GrayFrame;
      const sector = detectSectorGeometry(frames);
      const ruler = findDepthRuler(frames, sector, { expectedDepthCm: 9 });
      expect(
        numbersOf({ sector, ruler }).filter((v) => !Number.isFinite(v)),
        `seed ${seed}`,
      ).toEqual([]);
      for (const { x0, y0, x1, y1 } of [sector.box, ...sector.otherPanels]) {
        expect(Math.min(x0, y0), `seed ${seed}`).toBeGreaterThanOrEqual(0);
        expect(x1, `seed ${seed}`).toBeLessThanOrEqual(widthPx + 1);
        expect(y1, `seed ${seed}`).toBeLessThanOrEqual(heightPx + 1);
      }
      for (const { confidence } of [sector, ruler]) {
        expect(confidence).toBeGreaterThanOrEqual(0);
        expect(confidence).toBeLessThanOrEqual(1);
      }
      const sum = ruler.unitCandidates.reduce((all, c) => all + c.probability, 0);
      if (ruler.found) expect(sum).toBeCloseTo(1, 9);
    }
  });
});
