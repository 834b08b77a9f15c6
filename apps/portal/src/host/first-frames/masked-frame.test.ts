import type { OpenedHere } from '@chordae/codecs/browser';
import type { ClipDescription, Region } from '@chordae/contract';
import { machineSaysNothing } from '@chordae/dicom';
import { describe, expect, it } from 'vitest';
import { maskedFirstFrame } from './masked-frame';

const [WIDTH, HEIGHT] = [160, 120];
const REGION = {
  x0: 0,
  y0: 20,
  x1: WIDTH - 1,
  y1: HEIGHT - 1,
  kind: '2d',
  whyNot: null,
} as Region;

/** A strip of 'name' above the picture; in the picture echoes that move, and two rows of letters that do not. */
function pixelOf(x: number, y: number, frame: number, channels: number): number[] {
  const inStrip = y < 12;
  const inLetters = y >= 40 && y < 52 && x >= 24 && x < 120 && x % 6 < 2;
  const value = inStrip ? 250 : inLetters ? 220 : (x * 3 + y * 5 + frame * 37) % 64;
  return channels === 1 ? [value] : [value, value, value, 255].slice(0, channels);
}

function opened(regions: readonly Region[], channels: 1 | 3 | 4 = 1, frameCount = 12): OpenedHere {
  const frame = (n: number) =>
    Uint8Array.from(
      Array.from({ length: WIDTH * HEIGHT }, (_p, at) =>
        pixelOf(at % WIDTH, Math.floor(at / WIDTH), n, channels),
      ).flat(),
    );
  const grey = (n: number) =>
    Uint8Array.from(
      { length: WIDTH * HEIGHT },
      (_p, at) => pixelOf(at % WIDTH, Math.floor(at / WIDTH), n, 1)[0] ?? 0,
    );
  return {
    description: { widthPx: WIDTH, heightPx: HEIGHT, frameCount, regions } as unknown as ClipDescription,
    machine: machineSaysNothing,
    shown: (n) =>
      Promise.resolve({ ok: true, value: { widthPx: WIDTH, heightPx: HEIGHT, channels, pixels: frame(n) } }),
    luma: (n) => Promise.resolve({ ok: true, value: { widthPx: WIDTH, heightPx: HEIGHT, luma: grey(n) } }),
    close: () => Promise.resolve(),
  };
}

async function brightest(file: OpenedHere, said: Parameters<typeof maskedFirstFrame>[1]) {
  const made = await maskedFirstFrame(file, said);
  if (made.kind !== 'masked') throw new Error(made.kind);
  const { channels, pixels } = made.frame;
  const most = (x0: number, y0: number, x1: number, y1: number) => {
    let found = 0;
    for (let y = y0; y <= y1; y += 1)
      for (let x = x0; x <= x1; x += 1)
        for (let k = 0; k < Math.min(3, channels); k += 1)
          found = Math.max(found, pixels[(y * WIDTH + x) * channels + k] ?? 0);
    return found;
  };
  return {
    strip: most(0, 0, WIDTH - 1, 19),
    letters: most(24, 40, 119, 51),
    echoes: most(0, 80, WIDTH - 1, HEIGHT - 1),
  };
}

describe('the first frame as it may leave', () => {
  it.each([1, 3, 4] as const)(
    'shows what the file’s own regions leave, without the places in them that do not move (%i bytes a pixel)',
    async (channels) => {
      const seen = await brightest(opened([REGION], channels), null);
      expect(seen.strip).toBe(0);
      expect(seen.letters).toBe(0);
      expect(seen.echoes).toBeGreaterThan(40);
    },
  );

  it('does not leave where nobody has decided', async () => {
    expect((await maskedFirstFrame(opened([]), null)).kind).toBe('needs-decision');
  });

  it('shows the box that a person drew, and there as well nothing that does not move', async () => {
    const box = { x0: 0, y0: 30, x1: WIDTH - 1, y1: HEIGHT - 1 };
    const seen = await brightest(opened([]), { kind: 'box', box });
    expect([seen.strip, seen.letters]).toEqual([0, 0]);
    expect(seen.echoes).toBeGreaterThan(40);
  });

  it('shows the sector that a person agreed to, and there as well nothing that does not move', async () => {
    const outline = [80, 30, 159, 119, 1, 119];
    const seen = await brightest(opened([]), { kind: 'fan', outline });
    expect([seen.strip, seen.letters]).toEqual([0, 0]);
    expect(seen.echoes).toBeGreaterThan(40);
    // Beside the wedge nothing is left.
    const made = await maskedFirstFrame(opened([]), { kind: 'fan', outline });
    if (made.kind !== 'masked') throw new Error(made.kind);
    expect(made.frame.pixels[60 * WIDTH + 10]).toBe(0);
  });

  it('shows all of it where a person said that no name is in it', async () => {
    const seen = await brightest(opened([]), { kind: 'no-name-confirmed' });
    expect([seen.strip, seen.letters]).toEqual([250, 220]);
  });

  it('is none where it cannot be decoded', async () => {
    const broken: OpenedHere = {
      ...opened([REGION]),
      shown: () => Promise.resolve({ ok: false, problem: { code: 'FRAME_DAMAGED', data: {} } }),
    };
    expect(await maskedFirstFrame(broken, null)).toEqual({ kind: 'none', code: 'FRAME_DAMAGED' });
  });

  it('is none where its first frame can be decoded and those to compare it with cannot', async () => {
    const broken: OpenedHere = {
      ...opened([REGION]),
      luma: () => Promise.resolve({ ok: false, problem: { code: 'FRAME_DAMAGED', data: {} } }),
    };
    expect(await maskedFirstFrame(broken, null)).toEqual({ kind: 'none', code: 'FRAME_DAMAGED' });
  });
});
