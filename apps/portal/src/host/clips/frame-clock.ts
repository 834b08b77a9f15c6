/** Playing at true speed: which frame is due, by the times that the file gives. */

/** Pace used where the file gives none, ms a frame; such clips are marked 'not for timing'. */
export const GUESSED_FRAME_MS = 40;

export function timesOrGuess(timesMs: readonly number[] | null, frameCount: number): readonly number[] {
  return timesMs ?? Array.from({ length: frameCount }, (_, n) => n * GUESSED_FRAME_MS);
}

/** Length of one loop in ms: the last frame stays as long as the one before it. */
export function loopMs(times: readonly number[]): number {
  const last = times.at(-1);
  const before = times.at(-2);
  if (last === undefined || before === undefined) return 0;
  return last - (times[0] ?? 0) + (last - before);
}

/** Number of the frame that is due `elapsedMs` after the loop began. `frameAt([0, 30, 60], 100)` is 0. */
export function frameAt(times: readonly number[], elapsedMs: number): number {
  const length = loopMs(times);
  if (length <= 0) return 0;
  const at = (times[0] ?? 0) + (((elapsedMs % length) + length) % length);
  let low = 0;
  let high = times.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if ((times[middle] ?? 0) <= at) low = middle;
    else high = middle - 1;
  }
  return low;
}

/** When a frame begins within the loop, ms: to go on playing from where one stepped to. */
export function startOf(times: readonly number[], frame: number): number {
  return (times[frame] ?? 0) - (times[0] ?? 0);
}

/** One step to either side, round the end. */
export function stepped(frame: number, by: number, frameCount: number): number {
  return frameCount === 0 ? 0 : (((frame + by) % frameCount) + frameCount) % frameCount;
}
