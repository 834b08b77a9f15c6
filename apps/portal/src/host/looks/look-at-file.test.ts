import type { OpenedHere } from '@chordae/codecs/browser';
import type { ClipDescription } from '@chordae/contract';
import { machineSaysNothing } from '@chordae/dicom';
import { describe, expect, it } from 'vitest';
import { framesHeld } from './look-at-file';

const grey = (n: number) => ({ widthPx: 24, heightPx: 18, luma: new Uint8Array(24 * 18).fill(n) });

/** Logs what is done with it, in order. */
function opened(log: string[], luma: OpenedHere['luma'], frameCount = 3): OpenedHere {
  return {
    description: { widthPx: 24, heightPx: 18, frameCount } as ClipDescription,
    machine: machineSaysNothing,
    luma: (n) => {
      log.push(`frame ${n}`);
      return luma(n);
    },
    shown: () => Promise.reject(new Error('no picture is wanted')),
    close: () => {
      log.push('closed');
      return Promise.resolve();
    },
  };
}

describe('a file opened for a look', () => {
  it('is closed once its greys are held', async () => {
    const log: string[] = [];
    const held = await framesHeld(opened(log, (n) => Promise.resolve({ ok: true, value: grey(n) })));
    expect('frames' in held && held.frames.map(({ luma }) => luma[5])).toEqual([0, 1, 2]);
    expect(log).toEqual(['frame 0', 'frame 1', 'frame 2', 'closed']);
  });

  it('is closed where a frame cannot be read, or its decoder fails', async () => {
    const log: string[] = [];
    const damaged = { ok: false, problem: { code: 'FRAME_DAMAGED', data: { frame: 2 } } } as const;
    const broken = opened(log, (n) => Promise.resolve(n === 1 ? damaged : { ok: true, value: grey(n) }));
    expect(await framesHeld(broken)).toEqual({ ok: false, code: 'FRAME_DAMAGED' });
    const failing = opened(log, () => Promise.reject(new Error('gone')));
    await expect(framesHeld(failing)).rejects.toThrow('gone');
    expect(log).toEqual(['frame 0', 'frame 1', 'closed', 'frame 0', 'closed']);
  });
});
