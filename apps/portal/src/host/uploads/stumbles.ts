import { ApiError } from '../api';
import { statusOf, whyFailed } from './tus-errors';

/** So often one file may make the server stumble before its sender is told. */
const MOST = 5;

/** The server itself failed on it: no line was cut, and nothing says that it will pass. */
const stumbled = (error: unknown): boolean =>
  error instanceof ApiError ? error.code === 'INTERNAL' : statusOf(error) === 500;

/** Counts for each file how often the server failed on it: what lasts is said, and is not called a cut line for days. */
export class Stumbles {
  private readonly times = new Map<string, number>();

  /** As `whyFailed`; from the fifth time on a sentence for the sender. */
  why(arrivalId: string, error: unknown): ReturnType<typeof whyFailed> {
    if (!stumbled(error)) return whyFailed(error);
    const times = (this.times.get(arrivalId) ?? 0) + 1;
    if (times < MOST) {
      this.times.set(arrivalId, times);
      return 'cut';
    }
    this.times.delete(arrivalId);
    return `The server failed on this file ${MOST} times. It is kept on this device; the others go on. Try it again later, and tell who runs Chordae here.`;
  }
}
