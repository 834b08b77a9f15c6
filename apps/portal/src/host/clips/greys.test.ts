import { describe, expect, it } from 'vitest';
import { adjustGreys, greyTable, isPlain, PLAIN_GREYS } from './greys';

const picture = () =>
  Uint8ClampedArray.from([100, 100, 100, 255, 200, 30, 20, 255, 20, 40, 210, 255, 104, 98, 96, 255]);

describe('greys', () => {
  it('are left as they are when plain', () => {
    const rgba = picture();
    adjustGreys(rgba, greyTable(PLAIN_GREYS));
    expect(rgba).toEqual(picture());
    expect(isPlain(PLAIN_GREYS)).toBe(true);
    expect(isPlain({ ...PLAIN_GREYS, gain: 0.1 })).toBe(false);
  });

  it('are inverted and brightened, while colours of flow keep every channel', () => {
    const rgba = picture();
    adjustGreys(rgba, greyTable({ gain: 0, contrast: 1, inverted: true }));
    expect(Array.from(rgba.slice(0, 4))).toEqual([155, 155, 155, 255]);
    expect(rgba.slice(4, 12)).toEqual(picture().slice(4, 12));
    expect(Array.from(rgba.slice(12))).toEqual([151, 157, 159, 255]);
    const bright = greyTable({ gain: 0.2, contrast: 1, inverted: false });
    expect([bright[0], bright[100], bright[255]]).toEqual([51, 151, 255]);
  });

  it('are spread round their middle by contrast, within their range', () => {
    const table = greyTable({ gain: 0, contrast: 2, inverted: false });
    expect([table[0], table[64], table[191], table[255]]).toEqual([0, 0, 254, 255]);
    for (let v = 1; v < 256; v += 1) expect(table[v]).toBeGreaterThanOrEqual(table[v - 1] ?? 0);
  });
});
