/**
 * 8-bit YUV with chroma halved both ways to RGB, in whole numbers: the same on every machine and from either decoder, and
 * in half the time that the decoder's own exact conversion takes.
 */
export interface YuvFormat {
  /** Red and blue share of luma: ITU-R BT.601 or BT.709. */
  readonly matrix: 601 | 709;
  /** 0 to 255; else luma 16 to 235 and chroma 16 to 240. */
  readonly fullRange: boolean;
}

export function yuvBytes(widthPx: number, heightPx: number): number {
  return widthPx * heightPx + 2 * ((widthPx + 1) >> 1) * ((heightPx + 1) >> 1);
}

const one = 65_536;

/** What each step of a value adds to red, green and blue, times 65,536 (BT.601-7 2.5, BT.709-6 3). */
interface Factors {
  readonly luma: number;
  readonly redV: number;
  readonly greenU: number;
  readonly greenV: number;
  readonly blueU: number;
  /** Where luma begins. */
  readonly black: number;
}

function factorsOf({ matrix, fullRange }: YuvFormat): Factors {
  const [red, blue] = matrix === 709 ? [0.2126, 0.0722] : [0.299, 0.114];
  const green = 1 - red - blue;
  const chroma = fullRange ? 1 : 255 / 224;
  const whole = (factor: number): number => Math.round(factor * one);
  return {
    luma: whole(fullRange ? 1 : 255 / 219),
    redV: whole(2 * (1 - red) * chroma),
    greenU: whole((-2 * blue * (1 - blue) * chroma) / green),
    greenV: whole((-2 * red * (1 - red) * chroma) / green),
    blueU: whole(2 * (1 - blue) * chroma),
    black: fullRange ? 0 : 16,
  };
}

/** One frame: planes Y, U and V one after the other. Chroma lies beside the even columns and between two rows (H.264 E.2.1, type 0). */
export function rgbFromYuv(
  yuv: Uint8Array,
  widthPx: number,
  heightPx: number,
  format: YuvFormat,
): Uint8Array {
  const factors = factorsOf(format);
  // It brings what is stored to 0 to 255 by itself.
  const out = new Uint8ClampedArray(3 * widthPx * heightPx);
  for (let y = 0; y < heightPx; y += 1) convertRow(yuv, out, widthPx, heightPx, y, factors);
  return new Uint8Array(out.buffer);
}

/** A row, two pixels at a time: chroma at its height is three parts of the nearer of two rows and one of the other. */
function convertRow(
  yuv: Uint8Array,
  out: Uint8ClampedArray,
  widthPx: number,
  heightPx: number,
  y: number,
  { luma, redV, greenU, greenV, blueU, black }: Factors,
): void {
  const [wide, high] = [(widthPx + 1) >> 1, (heightPx + 1) >> 1];
  const near = y >> 1;
  const far = Math.min(high - 1, Math.max(0, (y & 1) === 0 ? near - 1 : near + 1));
  const nearU = widthPx * heightPx + near * wide;
  const farU = widthPx * heightPx + far * wide;
  const plane = wide * high;
  const start = one / 2 - black * luma;
  let from = y * widthPx;
  let to = 3 * from;
  let u = (3 * (yuv[nearU] as number) + (yuv[farU] as number) + 2) >> 2;
  let v = (3 * (yuv[nearU + plane] as number) + (yuv[farU + plane] as number) + 2) >> 2;
  for (let c = 0; c < wide; c += 1) {
    let [nextU, nextV] = [u, v];
    if (c + 1 < wide) {
      const [a, b] = [nearU + c + 1, farU + c + 1];
      nextU = (3 * (yuv[a] as number) + (yuv[b] as number) + 2) >> 2;
      nextV = (3 * (yuv[a + plane] as number) + (yuv[b + plane] as number) + 2) >> 2;
    }
    let level = Math.imul(yuv[from] as number, luma) + start;
    let [blueness, redness] = [u - 128, v - 128];
    out[to] = (level + Math.imul(redness, redV)) >> 16;
    out[to + 1] = (level + Math.imul(blueness, greenU) + Math.imul(redness, greenV)) >> 16;
    out[to + 2] = (level + Math.imul(blueness, blueU)) >> 16;
    if (2 * c + 1 < widthPx) {
      level = Math.imul(yuv[from + 1] as number, luma) + start;
      blueness = ((u + nextU + 1) >> 1) - 128;
      redness = ((v + nextV + 1) >> 1) - 128;
      out[to + 3] = (level + Math.imul(redness, redV)) >> 16;
      out[to + 4] = (level + Math.imul(blueness, greenU) + Math.imul(redness, greenV)) >> 16;
      out[to + 5] = (level + Math.imul(blueness, blueU)) >> 16;
    }
    u = nextU;
    v = nextV;
    from += 2;
    to += 6;
  }
}
