import type { Box, RowSums } from './fit-fan';

/** Sum of (activity − threshold) over an upright box. */
function scoreBox({ width, height, sums }: RowSums, box: Box): number {
  const x0 = Math.max(0, Math.round(box.x0));
  const x1 = Math.min(width, Math.round(box.x1));
  let score = 0;
  for (let y = Math.max(0, Math.round(box.y0)); y < Math.min(height, Math.round(box.y1)); y += 1)
    score += (sums[y * (width + 1) + x1] as number) - (sums[y * (width + 1) + x0] as number);
  return score;
}

/** The box (linear probe) that holds most activity, found by moving its four sides. */
export function fitBox(start: Box, rows: RowSums): { readonly box: Box; readonly score: number } {
  let box: Box = { ...start };
  let score = scoreBox(rows, box);
  for (let step = 8; step >= 1; step /= 2) {
    for (let round = 0; round < 20; round += 1) {
      let better = false;
      for (const side of ['x0', 'y0', 'x1', 'y1'] as const)
        for (const by of [step, -step]) {
          const next = { ...box, [side]: box[side] + by };
          const limit = side.startsWith('x') ? rows.width : rows.height;
          if (next[side] < 0 || next[side] > limit || next.x1 - next.x0 < 8 || next.y1 - next.y0 < 8)
            continue;
          const reached = scoreBox(rows, next);
          if (reached > score) {
            box = next;
            score = reached;
            better = true;
          }
        }
      if (!better) break;
    }
  }
  return { box, score };
}

/**
 * A box without sparse rows above: lines of text stand over a linear picture, whose own near field is never sparse. At most two fifths of
 * the height are taken away.
 */
export function withoutTextAbove({ width, sums }: RowSums, box: Box): Box {
  const [x0, x1] = [Math.max(0, Math.round(box.x0)), Math.min(width, Math.round(box.x1))];
  const [y0, y1] = [Math.max(0, Math.round(box.y0)), Math.round(box.y1)];
  const held = (y: number): number =>
    ((sums[y * (width + 1) + x1] as number) - (sums[y * (width + 1) + x0] as number)) / Math.max(1, x1 - x0);
  const all = Array.from({ length: Math.max(0, y1 - y0) }, (_, n) => held(y0 + n));
  const usual = [...all].sort((a, b) => a - b)[all.length >> 1] ?? 0;
  const first = all.findIndex((v, n) => v >= 0.5 * usual && (all[n + 1] ?? 0) >= 0.5 * usual);
  return first > 0 && first < 0.4 * all.length ? { ...box, y0: y0 + first } : box;
}
