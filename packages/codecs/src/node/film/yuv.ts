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

/** Where a frame's planes lie, one after the other, and what its values add. */
interface Frame extends Factors {
  readonly yuv: Uint8Array;
  readonly widthPx: number;
  readonly heightPx: number;
  /** Chroma samples in a row. */
  readonly wide: number;
  /** And in a plane. */
  readonly plane: number;
}

/** Four pixels at a time are written as three words of this machine, whose lowest byte must come first. */
const lowestFirst = new Uint8Array(new Uint32Array([1]).buffer)[0] === 1;

/** One frame: planes Y, U and V one after the other. Chroma lies beside the even columns and between two rows (H.264 E.2.1, type 0). */
export function rgbFromYuv(
  yuv: Uint8Array,
  widthPx: number,
  heightPx: number,
  format: YuvFormat,
): Uint8Array {
  const wide = (widthPx + 1) >> 1;
  const plane = wide * ((heightPx + 1) >> 1);
  const frame = { ...factorsOf(format), yuv, widthPx, heightPx, wide, plane };
  const out = new Uint8Array(3 * widthPx * heightPx);
  if (lowestFirst && widthPx % 4 === 0) {
    convertFours(frame, new Uint32Array(out.buffer));
  } else {
    // It brings what is stored to 0 to 255 by itself.
    const bytes = new Uint8ClampedArray(out.buffer);
    for (let y = 0; y < heightPx; y += 1) convertPairs(frame, bytes, y);
  }
  return out;
}

/** Chroma at a row's height is three parts of the nearer of two rows and one of the other: where their U begin. */
function chromaRows({ widthPx, heightPx, wide }: Frame, y: number): readonly [near: number, far: number] {
  const near = y >> 1;
  const last = ((heightPx + 1) >> 1) - 1;
  const far = Math.min(last, Math.max(0, (y & 1) === 0 ? near - 1 : near + 1));
  const begin = widthPx * heightPx;
  return [begin + near * wide, begin + far * wide];
}

/** No sum of a level and its colour lies further than this below 0 or above 255. */
const reach = 512;
const clamped = Uint8Array.from({ length: 2 * reach + 256 }, (_, n) => Math.min(255, Math.max(0, n - reach)));

/**
 * Frames whose width is a multiple of four: the same as by pairs, in two thirds of the time. Written out, and all rows in one
 * loop: otherwise the compiler of Node makes half of the gain.
 */
function convertFours(frame: Frame, words: Uint32Array): void {
  const { yuv, widthPx, heightPx, wide, plane, luma, redV, greenU, greenV, blueU, black } = frame;
  const within = clamped;
  const start = one / 2 - black * luma + reach * one;
  for (let y = 0; y < heightPx; y += 1) {
    const [nearU, farU] = chromaRows(frame, y);
    let from = y * widthPx;
    let to = (3 * from) >> 2;
    let u = (3 * (yuv[nearU] as number) + (yuv[farU] as number) + 2) >> 2;
    let v = (3 * (yuv[nearU + plane] as number) + (yuv[farU + plane] as number) + 2) >> 2;
    for (let c = 1; c < wide; c += 2) {
      const a = nearU + c;
      const b = farU + c;
      const u2 = (3 * (yuv[a] as number) + (yuv[b] as number) + 2) >> 2;
      const v2 = (3 * (yuv[a + plane] as number) + (yuv[b + plane] as number) + 2) >> 2;
      let u4 = u2;
      let v4 = v2;
      if (c + 1 < wide) {
        u4 = (3 * (yuv[a + 1] as number) + (yuv[b + 1] as number) + 2) >> 2;
        v4 = (3 * (yuv[a + 1 + plane] as number) + (yuv[b + 1 + plane] as number) + 2) >> 2;
      }
      let level = Math.imul(yuv[from] as number, luma) + start;
      let p = u - 128;
      let q = v - 128;
      const r0 = within[(level + Math.imul(q, redV)) >> 16] as number;
      const g0 = within[(level + Math.imul(p, greenU) + Math.imul(q, greenV)) >> 16] as number;
      const b0 = within[(level + Math.imul(p, blueU)) >> 16] as number;
      level = Math.imul(yuv[from + 1] as number, luma) + start;
      p = ((u + u2 + 1) >> 1) - 128;
      q = ((v + v2 + 1) >> 1) - 128;
      const r1 = within[(level + Math.imul(q, redV)) >> 16] as number;
      const g1 = within[(level + Math.imul(p, greenU) + Math.imul(q, greenV)) >> 16] as number;
      const b1 = within[(level + Math.imul(p, blueU)) >> 16] as number;
      level = Math.imul(yuv[from + 2] as number, luma) + start;
      p = u2 - 128;
      q = v2 - 128;
      const r2 = within[(level + Math.imul(q, redV)) >> 16] as number;
      const g2 = within[(level + Math.imul(p, greenU) + Math.imul(q, greenV)) >> 16] as number;
      const b2 = within[(level + Math.imul(p, blueU)) >> 16] as number;
      level = Math.imul(yuv[from + 3] as number, luma) + start;
      p = ((u2 + u4 + 1) >> 1) - 128;
      q = ((v2 + v4 + 1) >> 1) - 128;
      const r3 = within[(level + Math.imul(q, redV)) >> 16] as number;
      const g3 = within[(level + Math.imul(p, greenU) + Math.imul(q, greenV)) >> 16] as number;
      const b3 = within[(level + Math.imul(p, blueU)) >> 16] as number;
      words[to] = r0 | (g0 << 8) | (b0 << 16) | (r1 << 24);
      words[to + 1] = g1 | (b1 << 8) | (r2 << 16) | (g2 << 24);
      words[to + 2] = b2 | (r3 << 8) | (g3 << 16) | (b3 << 24);
      u = u4;
      v = v4;
      from += 4;
      to += 3;
    }
  }
}

/** A row of any width, two pixels at a time. */
function convertPairs(frame: Frame, out: Uint8ClampedArray, y: number): void {
  const { yuv, widthPx, wide, plane, luma, redV, greenU, greenV, blueU, black } = frame;
  const [nearU, farU] = chromaRows(frame, y);
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
