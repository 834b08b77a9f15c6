import { difference } from './motion-vectors';

export interface Period {
  readonly frames: number;
  /** How deep the valley is against the usual difference, 0 to 1. */
  readonly depth: number;
}

/** Mean squared difference of all pairs of frames that lie `lag` apart, for lags from 0; the difference function of YIN (de Cheveigné & Kawahara 2002, J Acoust Soc Am 111:1917-1930) on picture vectors. */
export function lagDifferences(vectors: readonly Float32Array[], mostLag: number): Float64Array {
  const out = new Float64Array(mostLag + 1);
  // Long clips: not every pair is needed.
  const stride = Math.max(1, Math.floor(vectors.length / 150));
  for (let lag = 1; lag <= mostLag; lag += 1) {
    let sum = 0;
    let pairs = 0;
    for (let k = 0; k + lag < vectors.length; k += stride) {
      sum += difference(vectors[k] as Float32Array, vectors[k + lag] as Float32Array);
      pairs += 1;
    }
    out[lag] = pairs > 0 ? sum / pairs : 0;
  }
  return out;
}

function parabola(curve: ArrayLike<number>, n: number): number {
  const a = curve[n - 1] as number;
  const b = curve[n] as number;
  const c = curve[n + 1] as number;
  const bend = a - 2 * b + c;
  return bend > 1e-12 ? n + Math.max(-0.5, Math.min(0.5, (a - c) / (2 * bend))) : n;
}

/** First valley at least 74 % as deep as the deepest, sharpened at its multiples; null where there is none. */
export function findPeriod(vectors: readonly Float32Array[], shortestFrames: number): Period | null {
  const count = vectors.length;
  const mostLag = Math.min(count - 2, 400);
  if (mostLag < 4) return null;
  const curve = lagDifferences(vectors, mostLag);
  const usual = [...curve.subarray(1)].sort((a, b) => a - b)[Math.floor(0.6 * mostLag)] as number;
  if (!(usual > 1e-6)) return null;
  const valleys: { lag: number; depth: number }[] = [];
  for (let lag = Math.max(3, Math.floor(shortestFrames)); lag < mostLag; lag += 1) {
    const here = curve[lag] as number;
    if (here > (curve[lag - 1] as number) || here > (curve[lag + 1] as number)) continue;
    // A valley lies between hills: the beat must have moved away before it comes back.
    const hill = Math.max(...curve.subarray(1, lag));
    const depth = (hill - here) / Math.max(hill, usual);
    if (depth > 0.25) valleys.push({ lag, depth });
  }
  const deepest = Math.max(0, ...valleys.map((v) => v.depth));
  const first = valleys.find((v) => v.depth >= 0.74 * deepest);
  if (!first) return null;
  let frames = parabola(curve, first.lag);
  for (let times = 2; times <= 6; times += 1) {
    const expected = frames * times;
    const reach = Math.max(1, Math.round(0.18 * frames));
    let best = -1;
    for (let lag = Math.ceil(expected - reach); lag <= expected + reach; lag += 1)
      if (lag > 0 && lag < mostLag && (best < 0 || (curve[lag] as number) < (curve[best] as number)))
        best = lag;
    if (best < 1 || best >= mostLag || Math.abs(best - expected) >= reach) break;
    if (count - best < 0.3 * frames) break;
    frames = parabola(curve, best) / times;
  }
  return { frames, depth: first.depth };
}
