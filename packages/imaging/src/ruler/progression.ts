import type { Mark } from './marks';

/** Marks at even distances down the screen: y = first + pitch · k. */
export interface Progression {
  readonly pitchPx: number;
  /** Standard error of the pitch. */
  readonly sePx: number;
  readonly firstYPx: number;
  readonly xPx: number;
  readonly marks: readonly { readonly mark: Mark; readonly k: number }[];
  readonly missing: number;
  readonly extras: number;
  readonly rmsPx: number;
  /** Part of the sector's depth that it stands beside. */
  readonly reach: number;
  readonly score: number;
}

interface Line {
  readonly slope: number;
  readonly start: number;
  readonly rms: number;
  readonly se: number;
}

/** Least squares y = start + slope · k. */
export function straightLine(ks: readonly number[], ys: readonly number[]): Line {
  const n = ks.length;
  const meanK = ks.reduce((a, b) => a + b, 0) / n;
  const meanY = ys.reduce((a, b) => a + b, 0) / n;
  let kk = 0;
  let ky = 0;
  ks.forEach((k, i) => {
    kk += (k - meanK) * (k - meanK);
    ky += (k - meanK) * ((ys[i] as number) - meanY);
  });
  const slope = kk > 0 ? ky / kk : 0;
  const start = meanY - slope * meanK;
  let rest = 0;
  ks.forEach((k, i) => {
    const d = (ys[i] as number) - start - slope * k;
    rest += d * d;
  });
  return { slope, start, rms: Math.sqrt(rest / n), se: kk > 0 && n > 2 ? Math.sqrt(rest / (n - 2) / kk) : 0 };
}

export interface ProgressionFrame {
  /** Top and bottom of the sector, where a depth ruler begins and about ends. */
  readonly topPx: number;
  readonly bottomPx: number;
  readonly heightPx: number;
  /** Nearest that ticks may stand; stair steps of slanted borders are nearer. */
  readonly leastPitchPx: number;
}

/** Best even series among marks of one column; null where there is none of at least four. */
export function bestProgression(column: readonly Mark[], frame: ProgressionFrame): Progression | null {
  const sorted = [...column].sort((a, b) => a.y - b.y);
  let best: Progression | null = null;
  const seen = new Set<number>();
  for (let i = 0; i + 1 < sorted.length; i += 1)
    for (let j = i + 1; j < Math.min(sorted.length, i + 3); j += 1) {
      const pitch = (sorted[j] as Mark).y - (sorted[i] as Mark).y;
      if (pitch < frame.leastPitchPx || pitch > 0.3 * frame.heightPx) continue;
      const key = Math.round(pitch * 2) * 100_000 + Math.round(((sorted[i] as Mark).y % pitch) / 2);
      if (seen.has(key)) continue;
      seen.add(key);
      const found = extend(sorted, (sorted[i] as Mark).y, pitch, frame);
      if (found && (!best || found.score > best.score)) best = found;
    }
  return best;
}

function extend(
  sorted: readonly Mark[],
  y0: number,
  pitch0: number,
  frame: ProgressionFrame,
): Progression | null {
  let pitch = pitch0;
  let start = y0;
  let taken: { mark: Mark; k: number }[] = [];
  for (let round = 0; round < 3; round += 1) {
    taken = walk(sorted, start, pitch);
    if (taken.length < 4) return null;
    const line = straightLine(
      taken.map((t) => t.k),
      taken.map((t) => t.mark.y),
    );
    pitch = line.slope;
    start = line.start;
    if (pitch < frame.leastPitchPx) return null;
  }
  const ks = taken.map((t) => t.k);
  const line = straightLine(
    ks,
    taken.map((t) => t.mark.y),
  );
  const [low, high] = [ks[0] as number, ks[ks.length - 1] as number];
  const missing = high - low + 1 - taken.length;
  const top = (taken[0] as { mark: Mark }).mark.y;
  const bottom = (taken[taken.length - 1] as { mark: Mark }).mark.y;
  const within = sorted.filter((m) => m.y >= top - 1 && m.y <= bottom + 1);
  const extras = within.length - taken.length;
  const heights = taken.map((t) => t.mark.bottom - t.mark.top);
  const spread = Math.max(...heights) - Math.min(...heights);
  const depth = Math.max(1, frame.bottomPx - frame.topPx);
  const coverage = Math.max(0, Math.min(bottom, frame.bottomPx) - Math.max(top, frame.topPx)) / depth;
  const fromFace = Math.abs(top - frame.topPx) / line.slope;
  const aligned = fromFace < 0.25 ? 1.5 : fromFace < 1.2 ? 0.5 : 0;
  const score =
    0.5 * Math.min(24, taken.length) -
    missing -
    0.6 * extras -
    1.2 * line.rms -
    0.35 * Math.max(0, spread - 2) +
    4 * coverage +
    aligned;
  return {
    pitchPx: line.slope,
    sePx: line.se,
    firstYPx: line.start + line.slope * low,
    xPx: taken.reduce((sum, t) => sum + (t.mark.left + t.mark.right) / 2, 0) / taken.length,
    marks: taken.map((t) => ({ mark: t.mark, k: t.k - low })),
    missing,
    extras,
    rmsPx: line.rms,
    reach: coverage,
    score,
  };
}

/** Steps up and down from a start, at most one missing in a row. */
function walk(sorted: readonly Mark[], y0: number, pitch: number): { mark: Mark; k: number }[] {
  const tolerance = Math.max(1.3, Math.min(3, 0.09 * pitch));
  const near = (y: number): Mark | null => {
    let best: Mark | null = null;
    for (const mark of sorted)
      if (Math.abs(mark.y - y) <= tolerance && (!best || Math.abs(mark.y - y) < Math.abs(best.y - y)))
        best = mark;
    return best;
  };
  const taken: { mark: Mark; k: number }[] = [];
  for (const direction of [-1, 1]) {
    let gap = 0;
    let at = y0;
    for (let k = direction < 0 ? 0 : 1; gap < 2 && Math.abs(k) < 200; k += direction) {
      const expected = k === 0 ? y0 : at + direction * pitch;
      const mark = near(expected);
      if (mark) {
        taken.push({ mark, k });
        at = mark.y;
        gap = 0;
      } else {
        at = expected;
        gap += 1;
      }
    }
  }
  return taken.sort((a, b) => a.k - b.k).filter((t, n, list) => n === 0 || t.mark !== list[n - 1]?.mark);
}
