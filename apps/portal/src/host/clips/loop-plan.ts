import type { Beat } from './beats';
import { frameAt, loopMs, startOf } from './frame-clock';

export const LOOP_MODES = ['together', 'stretched', 'free'] as const;
export type LoopMode = (typeof LOOP_MODES)[number];

export interface Track {
  readonly times: readonly number[];
  readonly beats: readonly Beat[];
}

/** A frame that is due, with the stretch of frames it belongs to and how often such a stretch has begun. */
export interface Due {
  readonly frame: number;
  readonly from: number;
  readonly to: number;
  readonly lap: number;
}

/** How long a beat lasts, ms: to the next beat's first frame, or to the end of the loop. */
export function beatMs(times: readonly number[], beat: Beat): number {
  const end = beat.to < times.length ? startOf(times, beat.to) : loopMs(times);
  return end - startOf(times, beat.from);
}

/**
 * Plays several clips from one clock. `together`: all beats begin together, each at its true speed, holding its last frame until the
 * slowest is done. `stretched`: each beat is slowed to the slowest one's length. `free`: each clip plays its whole loop by itself. Clips
 * without known beats always play free.
 */
export class LoopPlan {
  private readonly rounds: readonly number[];
  private readonly cycleMs: number;

  constructor(
    private readonly tracks: ReadonlyMap<number, Track>,
    readonly mode: LoopMode,
  ) {
    const beating = [...tracks.values()].filter((t) => t.beats.length > 0);
    const most = Math.max(0, ...beating.map((t) => t.beats.length));
    // A round is one beat of every clip; clips with fewer beats begin again.
    this.rounds = Array.from({ length: mode === 'free' ? 0 : most }, (_, round) =>
      Math.max(...beating.map((t) => beatMs(t.times, beatOf(t, round)))),
    );
    this.cycleMs = this.rounds.reduce((a, b) => a + b, 0);
  }

  private inPhase(track: Track): boolean {
    return this.cycleMs > 0 && track.beats.length > 0;
  }

  private roundAt(elapsedMs: number): { round: number; since: number; lap: number } {
    const cycles = Math.floor(elapsedMs / this.cycleMs);
    let since = elapsedMs - cycles * this.cycleMs;
    let round = 0;
    while (round < this.rounds.length - 1 && since >= (this.rounds[round] ?? 0)) {
      since -= this.rounds[round] ?? 0;
      round += 1;
    }
    return { round, since, lap: cycles * this.rounds.length + round };
  }

  /** The frame that is due in a place, ms after the start; null for a place without a clip. */
  due(place: number, elapsedMs: number): Due | null {
    const track = this.tracks.get(place);
    if (!track || track.times.length === 0) return null;
    if (!this.inPhase(track)) {
      const length = loopMs(track.times);
      const lap = length > 0 ? Math.floor(elapsedMs / length) : 0;
      return { frame: frameAt(track.times, elapsedMs), from: 0, to: track.times.length, lap };
    }
    const { round, since, lap } = this.roundAt(elapsedMs);
    const beat = beatOf(track, round);
    const own = beatMs(track.times, beat);
    const at = this.mode === 'stretched' ? (since * own) / (this.rounds[round] ?? own) : since;
    const frame =
      at >= own
        ? beat.to - 1
        : Math.min(beat.to - 1, frameAt(track.times, startOf(track.times, beat.from) + at));
    return { frame, from: beat.from, to: beat.to, lap };
  }

  /** When a place shows a frame, ms after the start: to go on from where one stepped to. */
  elapsedAt(place: number, frame: number): number {
    const track = this.tracks.get(place);
    if (!track || track.times.length === 0) return 0;
    if (!this.inPhase(track)) return startOf(track.times, frame);
    let before = 0;
    for (let round = 0; round < this.rounds.length; round += 1) {
      const beat = beatOf(track, round);
      const length = this.rounds[round] ?? 0;
      if (frame >= beat.from && frame < beat.to) {
        const own = beatMs(track.times, beat);
        const at = startOf(track.times, frame) - startOf(track.times, beat.from);
        return before + (this.mode === 'stretched' ? (at * length) / own : at);
      }
      before += length;
    }
    return 0;
  }

  /** Speed by true speed in `stretched`, of the first beat; 1 where nothing is stretched. */
  speed(place: number): number {
    const track = this.tracks.get(place);
    if (!track || this.mode !== 'stretched' || !this.inPhase(track)) return 1;
    return beatMs(track.times, beatOf(track, 0)) / (this.rounds[0] ?? 1);
  }
}

function beatOf(track: Track, round: number): Beat {
  return track.beats[round % track.beats.length] as Beat;
}

/** How many frames were due between two looks: 1 when none was missed. */
export function framesBetween(before: Due, now: Due): number {
  if (now.lap === before.lap) return Math.max(0, now.frame - before.frame);
  return Math.max(0, before.to - 1 - before.frame) + 1 + Math.max(0, now.frame - now.from);
}
