/**
 * SHA-256 (FIPS 180-4) without a platform's crypto, so that browser, server and command line hash the same input to the
 * same digits. Slow beside a native one and meant for kilobytes only.
 */

/** First 32 bits of the fractional parts of the cube roots of the first 64 primes (FIPS 180-4, 4.2.2). */
const K = new Int32Array(64);
/** First 32 bits of the fractional parts of the square roots of the first 8 primes (FIPS 180-4, 5.3.3). */
const H0 = new Int32Array(8);

/** Integer cube root and square root by bisection on whole numbers: no engine-dependent last bit. */
function fractionBits(prime: number, power: 2 | 3): number {
  const target = BigInt(prime) << BigInt(32 * power);
  let low = 0n;
  let high = 1n << 40n;
  while (high - low > 1n) {
    const middle = (low + high) >> 1n;
    if (middle ** BigInt(power) <= target) low = middle;
    else high = middle;
  }
  return Number(low & 0xffffffffn);
}

function fillConstants(): void {
  let found = 0;
  for (let n = 2; found < 64; n += 1) {
    let prime = true;
    for (let d = 2; d * d <= n; d += 1) if (n % d === 0) prime = false;
    if (!prime) continue;
    K[found] = fractionBits(n, 3);
    if (found < 8) H0[found] = fractionBits(n, 2);
    found += 1;
  }
}
fillConstants();

/** UTF-8 bytes of a text; a lone surrogate becomes U+FFFD, as in every encoder. */
export function utf8(text: string): Uint8Array {
  const bytes = new Uint8Array(text.length * 3 + 72);
  let n = 0;
  for (let i = 0; i < text.length; i += 1) {
    const unit = text.charCodeAt(i);
    if (unit < 0x80) {
      bytes[n++] = unit;
      continue;
    }
    let point = text.codePointAt(i) ?? 0xfffd;
    if (point > 0xffff) i += 1;
    else if (point >= 0xd800 && point <= 0xdfff) point = 0xfffd;
    if (point < 0x800) {
      bytes[n++] = 0xc0 | (point >> 6);
      bytes[n++] = 0x80 | (point & 63);
    } else if (point < 0x10000) {
      bytes[n++] = 0xe0 | (point >> 12);
      bytes[n++] = 0x80 | ((point >> 6) & 63);
      bytes[n++] = 0x80 | (point & 63);
    } else {
      bytes[n++] = 0xf0 | (point >> 18);
      bytes[n++] = 0x80 | ((point >> 12) & 63);
      bytes[n++] = 0x80 | ((point >> 6) & 63);
      bytes[n++] = 0x80 | (point & 63);
    }
  }
  return bytes.subarray(0, n);
}

const W = new Int32Array(64);

/**
 * All blocks of a padded message: four rounds a turn, so that half as many names move. Written out, as an engine stops
 * putting small functions into one that is this long.
 */
function compress(h: Int32Array, bytes: Uint8Array): void {
  const k = K;
  const w = W;
  for (let at = 0; at < bytes.length; at += 64) {
    // Message schedule (FIPS 180-4, 6.2.2, step 1).
    for (let i = 0, p = at; i < 16; i += 1, p += 4) {
      w[i] =
        ((bytes[p] as number) << 24) |
        ((bytes[p + 1] as number) << 16) |
        ((bytes[p + 2] as number) << 8) |
        (bytes[p + 3] as number);
    }
    for (let i = 16; i < 64; i += 1) {
      const x = w[i - 15] as number;
      const y = w[i - 2] as number;
      const s0 = ((x >>> 7) | (x << 25)) ^ ((x >>> 18) | (x << 14)) ^ (x >>> 3);
      const s1 = ((y >>> 17) | (y << 15)) ^ ((y >>> 19) | (y << 13)) ^ (y >>> 10);
      w[i] = ((w[i - 16] as number) + s0 + (w[i - 7] as number) + s1) | 0;
    }
    let a = h[0] as number;
    let b = h[1] as number;
    let c = h[2] as number;
    let d = h[3] as number;
    let e = h[4] as number;
    let f = h[5] as number;
    let g = h[6] as number;
    let hh = h[7] as number;
    for (let i = 0; i < 64; i += 4) {
      let t =
        (hh +
          (((e >>> 6) | (e << 26)) ^ ((e >>> 11) | (e << 21)) ^ ((e >>> 25) | (e << 7))) +
          (g ^ (e & (f ^ g))) +
          (k[i] as number) +
          (w[i] as number)) |
        0;
      d = (d + t) | 0;
      hh =
        (t +
          (((a >>> 2) | (a << 30)) ^ ((a >>> 13) | (a << 19)) ^ ((a >>> 22) | (a << 10))) +
          ((a & b) | (c & (a | b)))) |
        0;
      t =
        (g +
          (((d >>> 6) | (d << 26)) ^ ((d >>> 11) | (d << 21)) ^ ((d >>> 25) | (d << 7))) +
          (f ^ (d & (e ^ f))) +
          (k[i + 1] as number) +
          (w[i + 1] as number)) |
        0;
      c = (c + t) | 0;
      g =
        (t +
          (((hh >>> 2) | (hh << 30)) ^ ((hh >>> 13) | (hh << 19)) ^ ((hh >>> 22) | (hh << 10))) +
          ((hh & a) | (b & (hh | a)))) |
        0;
      t =
        (f +
          (((c >>> 6) | (c << 26)) ^ ((c >>> 11) | (c << 21)) ^ ((c >>> 25) | (c << 7))) +
          (e ^ (c & (d ^ e))) +
          (k[i + 2] as number) +
          (w[i + 2] as number)) |
        0;
      b = (b + t) | 0;
      f =
        (t +
          (((g >>> 2) | (g << 30)) ^ ((g >>> 13) | (g << 19)) ^ ((g >>> 22) | (g << 10))) +
          ((g & hh) | (a & (g | hh)))) |
        0;
      t =
        (e +
          (((b >>> 6) | (b << 26)) ^ ((b >>> 11) | (b << 21)) ^ ((b >>> 25) | (b << 7))) +
          (d ^ (b & (c ^ d))) +
          (k[i + 3] as number) +
          (w[i + 3] as number)) |
        0;
      a = (a + t) | 0;
      e =
        (t +
          (((f >>> 2) | (f << 30)) ^ ((f >>> 13) | (f << 19)) ^ ((f >>> 22) | (f << 10))) +
          ((f & g) | (hh & (f | g)))) |
        0;
      const a4 = e;
      const b4 = f;
      const c4 = g;
      const d4 = hh;
      e = a;
      f = b;
      g = c;
      hh = d;
      a = a4;
      b = b4;
      c = c4;
      d = d4;
    }
    h[0] = ((h[0] as number) + a) | 0;
    h[1] = ((h[1] as number) + b) | 0;
    h[2] = ((h[2] as number) + c) | 0;
    h[3] = ((h[3] as number) + d) | 0;
    h[4] = ((h[4] as number) + e) | 0;
    h[5] = ((h[5] as number) + f) | 0;
    h[6] = ((h[6] as number) + g) | 0;
    h[7] = ((h[7] as number) + hh) | 0;
  }
}

/** '00' to 'ff'. */
const HEX = Array.from({ length: 256 }, (_, byte) => byte.toString(16).padStart(2, '0'));

/** SHA-256 of bytes, 64 lower-case hex digits. */
export function sha256OfBytes(bytes: Uint8Array): string {
  const padded = new Uint8Array((((bytes.length + 8) >> 6) + 1) << 6);
  padded.set(bytes);
  padded[bytes.length] = 0x80;
  const bits = bytes.length * 8;
  const end = padded.length;
  padded[end - 5] = Math.floor(bits / 4294967296) & 0xff;
  padded[end - 4] = (bits >>> 24) & 0xff;
  padded[end - 3] = (bits >>> 16) & 0xff;
  padded[end - 2] = (bits >>> 8) & 0xff;
  padded[end - 1] = bits & 0xff;
  const h = H0.slice();
  compress(h, padded);
  let hex = '';
  for (const part of h)
    for (let shift = 24; shift >= 0; shift -= 8) hex += HEX[(part >>> shift) & 0xff] as string;
  return hex;
}

/** SHA-256 of a text's UTF-8 bytes, 64 lower-case hex digits. `sha256Hex('abc')` starts with ba7816bf. */
export function sha256Hex(text: string): string {
  return sha256OfBytes(utf8(text));
}
