import { describe, expect, it } from 'vitest';
import { decodeJpeg2000 } from './jpeg-2000';
import { htj2kPixels, htj2kSample, sampleStreamHeight, sampleStreamWidth } from './sample-streams';

const size = { widthPx: sampleStreamWidth, heightPx: sampleStreamHeight };

describe('HTJ2K', () => {
  it('gives the very pixels that were coded', async () => {
    const read = await decodeJpeg2000(htj2kSample, size);
    expect(read.ok && read.value.samples).toEqual(htj2kPixels);
  });

  it('refuses a cut one, one of another size, and one of more than eight bits by its depth', async () => {
    expect((await decodeJpeg2000(htj2kSample.subarray(0, 300), size)).ok).toBe(false);
    expect(await decodeJpeg2000(htj2kSample, { ...size, widthPx: 25 })).toMatchObject({
      problem: { code: 'FRAME_DAMAGED' },
    });
    const deep = htj2kSample.slice();
    // Ssiz of the SIZ segment, bits a sample less one (ITU-T T.800 A.5.1).
    const at = deep.findIndex((_, n) => deep[n] === 0xff && deep[n + 1] === 0x51);
    deep[at + 40] = 11;
    expect(await decodeJpeg2000(deep, size)).toEqual({
      ok: false,
      problem: { code: 'PIXEL_DEPTH_NOT_YET_READ', data: { bits: 12 } },
    });
  });
});
