import type { Plane } from '../picture/plane';
import { centile } from '../picture/plane';
import type { Cut } from './cuts';
import { thinnest } from './cuts';
import type { Box } from './fit-fan';

/** A straight step: how much more the picture changes there than at the lines around, as a part of the brightness. */
export interface Step extends Cut {
  readonly excess: number;
}

/** Reads how much a picture changes from one side of a line to the other between two places of it; null where hardly anything is lit. */
function changeReader(
  mean: Plane,
  down: boolean,
  background: number,
): (line: number, low: number, high: number) => number | null {
  const at = (line: number, k: number): number =>
    Math.max(0, (mean.values[down ? k * mean.width + line : line * mean.width + k] as number) - background);
  return (line, low, high) => {
    let [sum, lines] = [0, 0];
    for (let k = low; k < high; k += 1) {
      const a = at(line - 2, k) + at(line - 3, k);
      const b = at(line + 1, k) + at(line + 2, k);
      if (a + b > 16) {
        lines += 1;
        sum += Math.abs(a - b) / (a + b + 20);
      }
    }
    return lines < 0.15 * (high - low) ? null : sum / Math.max(1, 0.4 * (high - low), lines);
  };
}

/** Long straight steps: lines at which the picture changes from one side to the other over most of their length. */
export function straightSteps(mean: Plane, region: Box, down: boolean, background: number): Step[] {
  const [from, to] = down ? [region.x0, region.x1] : [region.y0, region.y1];
  const [low, high] = down ? [region.y0, region.y1] : [region.x0, region.x1];
  const count = to - from;
  if (count < 30) return [];
  const change = changeReader(mean, down, background);
  const steps = Float64Array.from({ length: count }, (_, n) =>
    n < 3 || n > count - 4 ? 0 : (change(from + n, low, high) ?? 0),
  );
  const found: Step[] = [];
  for (let n = Math.ceil(thinnest * count); n < (1 - thinnest) * count; n += 1) {
    const around = centile(steps.slice(Math.max(3, n - 12), Math.min(count - 3, n + 13)), 0.5);
    const excess = (steps[n] as number) - around;
    if (excess > 0.12) found.push({ down, at: from + n, excess });
  }
  found.sort((a, b) => b.excess - a.excess);
  return found
    .filter((c, n) => found.slice(0, n).every((other) => Math.abs(other.at - c.at) > 4))
    .slice(0, 2);
}

/**
 * Does a step run along a whole cut: in each fifth of its length where anything is lit, but one that a line of text may spoil, in three
 * at least? The border of a colour box or of one wave of a spectrum does not. Looked for within some lines of the cut.
 */
export function runsThroughout(
  mean: Plane,
  region: Box,
  { down, at }: Cut,
  within: number,
  background: number,
): boolean {
  const limit = down ? mean.width : mean.height;
  const [low, high] = down ? [region.y0, region.y1] : [region.x0, region.x1];
  const change = changeReader(mean, down, background);
  const parts = [0, 1, 2, 3, 4].map((n) => [
    Math.floor(low + ((high - low) * n) / 5),
    Math.floor(low + ((high - low) * (n + 1)) / 5),
  ]);
  const inside = (line: number): boolean => line >= 3 && line < limit - 3;
  for (let line = at - within; line <= at + within; line += 1) {
    if (!inside(line)) continue;
    const excess = parts.map(([a, b]) => {
      const own = change(line, a as number, b as number);
      if (own === null) return null;
      const others = [-12, -10, -8, -6, 6, 8, 10, 12]
        .filter((by) => inside(line + by))
        .map((by) => change(line + by, a as number, b as number) ?? 0);
      return own - centile(others, 0.5);
    });
    const lit = excess.filter((v) => v !== null);
    const stepped = lit.filter((v) => v > 0.1).length;
    if (stepped >= 3 && stepped >= lit.length - 1) return true;
  }
  return false;
}
