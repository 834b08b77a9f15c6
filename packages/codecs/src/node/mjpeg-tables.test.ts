import { readJpegHead, withHuffmanTables } from '@chordae/dicom';
import { describe, expect, it } from 'vitest';
import { decodePicture, encodeJpeg } from './pictures';

/** Takes the DHT segments out, as writers of motion JPEG do. */
function withoutTables(jpeg: Uint8Array): Uint8Array {
  const kept: number[] = [0xff, 0xd8];
  let at = 2;
  while (jpeg[at + 1] !== 0xda) {
    const end = at + 2 + ((jpeg[at + 2] ?? 0) << 8) + (jpeg[at + 3] ?? 0);
    if (jpeg[at + 1] !== 0xc4) kept.push(...jpeg.subarray(at, end));
    at = end;
  }
  return Uint8Array.from([...kept, ...jpeg.subarray(at)]);
}

describe('motion JPEG frames', () => {
  it('decode to the same pixels when their tables were left out', async () => {
    const pixels = Uint8Array.from({ length: 3 * 64 * 48 }, (_, n) => (n * 37 + (n >> 5) * 11) & 255);
    // libjpeg writes the typical tables of ITU-T T.81 K.3 when it does not optimise: they check the ones here.
    const jpeg = await encodeJpeg({ widthPx: 64, heightPx: 48, channels: 3, pixels });
    const bare = withoutTables(jpeg);
    expect(bare.length).toBeLessThan(jpeg.length - 400);
    const restored = withHuffmanTables(bare);
    expect(readJpegHead(restored)).toMatchObject({ widthPx: 64, heightPx: 48 });
    const [a, b] = [await decodePicture(jpeg), await decodePicture(restored)];
    expect(a.ok && b.ok && Buffer.compare(a.value.pixels, b.value.pixels)).toBe(0);
    expect(withHuffmanTables(jpeg)).toBe(jpeg);
  });
});
