import type { ClipDescription } from '@chordae/contract';
import { findStillMarks, machineSaysNothing, StillnessMap } from '@chordae/dicom';
import { describe, expect, it } from 'vitest';
import type { Original } from './original';
import { StillMarks } from './still-marks';

const [widthPx, heightPx, frameCount] = [200, 90, 21];

/** Letters that stay, on a ground that moves. */
function pixelsOf(frame: number): Uint8Array {
  return Uint8Array.from({ length: widthPx * heightPx }, (_, at) => {
    const [x, y] = [at % widthPx, Math.floor(at / widthPx)];
    const letter = y >= 30 && y < 42 && x >= 24 && x < 120 && x % 6 < 2;
    return letter ? 230 : (x * 3 + y * 5 + frame * 37) % 64;
  });
}

function original(asked: number[]): Original {
  return {
    description: { widthPx, heightPx, frameCount } as ClipDescription,
    machine: machineSaysNothing,
    asItCame: () => Promise.resolve({ ok: true, value: null }),
    picture: (frame) => {
      asked.push(frame);
      return Promise.resolve({
        ok: true,
        value: { widthPx, heightPx, channels: 1, pixels: pixelsOf(frame) },
      });
    },
    close: () => Promise.resolve(),
  };
}

describe('what does not move in a clip', () => {
  // Every second of 21: one in eight, rounded down.
  const looked = [0, 2, 4, 6, 8, 10, 12, 14, 16, 18, 20];
  const map = new StillnessMap(widthPx, heightPx);
  for (const frame of looked) map.add({ widthPx, heightPx, channels: 1, pixels: pixelsOf(frame) });
  const wanted = findStillMarks(map, null);

  it('is found without another look where all frames were decoded before', async () => {
    const asked: number[] = [];
    const marks = new StillMarks(original(asked));
    for (let frame = 0; frame < frameCount; frame += 1) await marks.original.picture(frame);
    await marks.original.picture(4);
    const before = asked.length;
    expect(await marks.within(null)).toEqual(wanted);
    expect(wanted).toHaveLength(1);
    expect(asked).toHaveLength(before);
  });

  it('is looked for in the frames that nobody has asked for', async () => {
    const asked: number[] = [];
    const marks = new StillMarks(original(asked));
    await marks.original.picture(0);
    await marks.original.picture(3);
    expect(await marks.within(null)).toEqual(wanted);
    expect(asked).toEqual([0, 3, ...looked.slice(1)]);
  });
});
