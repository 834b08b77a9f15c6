import type { PanelFrames, PhantomClip, PhantomWish } from '@chordae/phantom';
import {
  composeScreen,
  croppedPanel,
  makeMMode,
  makeSpectral,
  panelOf,
  renderCine,
  runningTrace,
  withColourBox,
} from '@chordae/phantom';
import { describe, expect, it } from 'vitest';
import type { GrayFrame } from '../gray-frame';
import { detectSectorGeometry } from './detect-sector';
import { sectorMask } from './sector-geometry';

const words = { patientLine: 'TESTDOG 12', secondLine: 'SMALL PRACTICE', viewLine: 'M' };
const wish: PhantomWish = {
  view: 'rps-short-papillary',
  species: 'dog',
  weightKg: 14,
  heart: 'normal',
  heartRate: 110,
  frameCount: 4,
  frameTimeMs: 40,
  words: null,
  widthPx: 300,
  heightPx: 260,
};
const texts = [{ x: 8, y: 6, text: 'TESTDOG 12', scale: 2 }];

/** The clip cut close round its fan, so that nothing dark is left between it and what stands beside. */
function closeCut(clip: PhantomClip): { picture: PanelFrames; inside: (x: number, y: number) => boolean } {
  const { apexX, apexY, faceCm, depthCm, pxPerCm, halfAngle } = clip.fan;
  const outer = (faceCm + depthCm) * pxPerCm;
  const half = Math.ceil(outer * Math.sin(halfAngle));
  const box = {
    x0: Math.max(0, Math.floor(apexX) - half),
    x1: Math.min(300, Math.ceil(apexX) + half),
    y0: Math.max(0, Math.floor(apexY + faceCm * pxPerCm * Math.cos(halfAngle))),
    y1: Math.min(260, Math.ceil(apexY + outer)),
  };
  return {
    picture: croppedPanel(panelOf(clip), box),
    inside: (x, y) => {
      const [dx, dy] = [x + 0.5 + box.x0 - apexX, y + 0.5 + box.y0 - apexY];
      const range = Math.hypot(dx, dy) / pxPerCm;
      return range >= faceCm && range < faceCm + depthCm && Math.abs(Math.atan2(dx, dy)) <= halfAngle;
    },
  };
}

const grey = ({ frames, widthPx, heightPx }: PanelFrames): GrayFrame[] =>
  frames.map((luma) => ({ widthPx, heightPx, luma }));

/** Part of the union that the sector found shares with the fan drawn at a place. */
function overlapAt(
  screen: PanelFrames,
  inside: (x: number, y: number) => boolean,
  x0: number,
  y0: number,
): number {
  const found = sectorMask(detectSectorGeometry(grey(screen)), screen.widthPx, screen.heightPx);
  let [both, either] = [0, 0];
  found.forEach((v, n) => {
    const truth = inside((n % screen.widthPx) - x0, Math.floor(n / screen.widthPx) - y0);
    if (truth && v === 1) both += 1;
    if (truth || v === 1) either += 1;
  });
  return both / either;
}

const fan = closeCut(renderCine(wish, 3));
const other = closeCut(renderCine({ ...wish, view: 'rps-long-4ch' }, 4));

describe('a screen with several pictures', () => {
  it('gives one of two fans that touch, and the other as a panel', () => {
    const at = 20 + fan.picture.widthPx;
    const screen = composeScreen(
      at + other.picture.widthPx + 20,
      340,
      [
        { picture: fan.picture, x: 20, y: 50 },
        { picture: other.picture, x: at, y: 50 },
      ],
      texts,
    );
    const sector = detectSectorGeometry(grey(screen));
    expect(sector.otherPanels).toHaveLength(1);
    expect(sector.reasons).toContain('SECTOR_SPLIT_SCREEN');
    expect(
      Math.max(overlapAt(screen, fan.inside, 20, 50), overlapAt(screen, other.inside, at, 50)),
    ).toBeGreaterThan(0.97);
  });

  for (const manner of ['roll', 'sweep', 'still'] as const)
    it(`gives the fan beside an M-mode that touches it: ${manner}`, () => {
      const mMode = makeMMode({ ...wish, sweepMs: 2500, words, widthPx: 420, heightPx: 380 }, 5);
      const trace = runningTrace(mMode, 4, manner);
      const at = 10 + fan.picture.widthPx;
      const screen = composeScreen(
        at + trace.widthPx + 20,
        400,
        [
          { picture: fan.picture, x: 10, y: 60 },
          { picture: trace, x: at, y: 50 },
        ],
        texts,
      );
      expect(overlapAt(screen, fan.inside, 10, 60)).toBeGreaterThan(0.97);
      const panel = detectSectorGeometry(grey(screen)).otherPanels[0];
      expect(Math.abs((panel?.x0 ?? 0) - at)).toBeLessThan(8);
    });

  it('gives the fan over a spectrum that touches it', () => {
    const flow = { ...wish, flow: 'ejection' as const, peakCmS: 180, towards: true, sweepMs: 2500, words };
    const trace = runningTrace(makeSpectral({ ...flow, widthPx: 640, heightPx: 300 }, 6), 4, 'sweep');
    const screen = composeScreen(
      640,
      50 + fan.picture.heightPx + trace.heightPx + 20,
      [
        { picture: fan.picture, x: 150, y: 40 },
        { picture: trace, x: 50, y: 40 + fan.picture.heightPx },
      ],
      texts,
    );
    expect(overlapAt(screen, fan.inside, 150, 40)).toBeGreaterThan(0.97);
  });

  it('gives a linear picture with a colour box as one box', () => {
    const clip = renderCine({ ...wish, fan: { halfAngleDeg: 1.5, facePart: 20 } }, 7);
    const bare = croppedPanel(panelOf(clip), { x0: 60, x1: 240, y0: 40, y1: 235 });
    const flow = withColourBox(bare, { x0: 40, y0: 30, x1: 130, y1: 120 }, 8);
    const screen = composeScreen(420, 340, [{ picture: flow, x: 100, y: 70 }], texts);
    const sector = detectSectorGeometry(grey(screen));
    expect(sector.shape).toBe('box');
    expect(sector.otherPanels).toEqual([]);
    for (const [found, drawn] of [
      [sector.box.x0, 100],
      [sector.box.x1, 280],
      [sector.box.y0, 70],
      [sector.box.y1, 265],
    ] as const)
      expect(Math.abs(found - drawn)).toBeLessThan(3);
  });
});

describe('what has no border', () => {
  it('is no sector that anybody should trust', () => {
    // A fan enlarged beyond the picture on every side.
    const clip = renderCine({ ...wish, frameCount: 1 }, 9);
    const middle = croppedPanel(panelOf(clip), { x0: 100, x1: 200, y0: 110, y1: 190 });
    expect(detectSectorGeometry(grey(middle)).confidence).toBeLessThan(0.4);
  });
});
