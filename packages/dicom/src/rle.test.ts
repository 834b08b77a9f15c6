import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { decodeRle, encodeRle } from './rle';

describe('RLE', () => {
  it('gives back every plane that was coded', () => {
    const picture = fc
      .tuple(fc.integer({ min: 1, max: 40 }), fc.integer({ min: 1, max: 9 }), fc.integer({ min: 1, max: 3 }))
      .chain(([width, height, planes]) =>
        fc.tuple(
          fc.constant(width),
          fc.array(fc.uint8Array({ minLength: width * height, maxLength: width * height, max: 3 }), {
            minLength: planes,
            maxLength: planes,
          }),
        ),
      );
    fc.assert(
      fc.property(picture, ([width, planes]) => {
        const count = planes[0]?.length ?? 0;
        const decoded = decodeRle(encodeRle(planes, width), planes.length, count);
        expect(decoded?.map((plane) => Array.from(plane))).toEqual(planes.map((plane) => Array.from(plane)));
      }),
    );
  });

  // Worked by hand from PS3.5 G.3: literal of 3 (2), run of 4 (253 = 257 - 4), no-op 128.
  it('decodes a segment worked by hand', () => {
    const frame = new Uint8Array(64 + 7);
    frame[0] = 1;
    frame[4] = 64;
    frame.set([2, 10, 20, 30, 253, 7, 128], 64);
    expect(decodeRle(frame, 1, 7)?.[0]).toEqual(Uint8Array.from([10, 20, 30, 7, 7, 7, 7]));
  });

  it('refuses a frame cut at any byte of its data', () => {
    const coded = encodeRle([Uint8Array.from([1, 2, 3, 4, 5, 6, 7, 9])], 4);
    for (let length = 0; length < coded.length - 1; length += 1)
      expect(decodeRle(coded.subarray(0, length), 1, 8)).toBeNull();
  });

  it('never throws on noise', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 200 }), fc.integer({ min: 0, max: 4 }), (bytes, segments) => {
        const out = decodeRle(bytes, segments, 50);
        expect(out === null || out.every((plane) => plane.length === 50)).toBe(true);
      }),
    );
  });
});
