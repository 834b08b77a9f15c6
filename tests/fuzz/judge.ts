import type { Problem } from '@chordae/contract';
import { problemCodesInWords, sayProblem } from '@chordae/words';

/** What is wrong with how a problem is said to a person: no words of its own, a code or a gap in them, no end. null: nothing. */
export function illSaid(problem: Problem): string | null {
  const sentence = sayProblem(problem);
  if (!problemCodesInWords.includes(problem.code)) return `${problem.code} has no words`;
  // What is quoted of the file may look like a code of ours, such as a name of a colour space.
  const own = Object.values(problem.data).reduce<string>(
    (text, value) => text.replaceAll(String(value), ''),
    sentence,
  );
  if (/undefined|null|NaN|\[object|\p{Cc}/u.test(sentence) || /\b[A-Z]{3,}_[A-Z_]+\b/.test(own))
    return `${problem.code} is said as "${sentence}"`;
  return /[.?]$/.test(sentence) ? null : `${problem.code} has no whole sentence: "${sentence}"`;
}

/** What ends in the process that reads and not in its reader: a fault of ours until shown otherwise. */
export const fallen = /^DECODER_(CRASHED|TIMED_OUT|OUT_OF_MEMORY)$/;

/** The value that a share of all lies below. `quantile([1, 2, 3], 0.5)` is 2. */
export function quantile(values: readonly number[], share: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? Number.NaN;
}

/** Slope of a straight line through points by least squares. */
export function slope(points: readonly (readonly [x: number, y: number])[]): number {
  const mean = (of: 0 | 1): number => points.reduce((sum, point) => sum + point[of], 0) / points.length;
  const [middleX, middleY] = [mean(0), mean(1)];
  const above = points.reduce((sum, [x, y]) => sum + (x - middleX) * (y - middleY), 0);
  return above / points.reduce((sum, [x]) => sum + (x - middleX) ** 2, 0);
}
