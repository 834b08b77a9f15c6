import { frameAt } from './frame-clock';

/** A moment of the heart's cycle on a clip: said by a person, by the machine's trace, or suggested by the pictures. */
export interface Moment {
  readonly frame: number;
  readonly from: 'marked' | 'r-wave' | 'suggested';
}

/** One beat: its first frame, and the first of the next. */
export interface Beat {
  readonly from: number;
  readonly to: number;
}

export interface ClipCycle {
  readonly endDiastole: readonly Moment[];
  readonly endSystole: readonly Moment[];
  readonly beats: readonly Beat[];
  /** What the beats rest on; null where no beat is known. */
  readonly source: Moment['from'] | null;
}

export interface CycleFacts {
  readonly times: readonly number[];
  readonly rWaveTimesMs: readonly number[];
  readonly marks: { readonly endDiastole: readonly number[]; readonly endSystole: readonly number[] } | null;
  /** Suggested by the pictures; null where they were not looked at. */
  readonly suggested: {
    readonly endDiastoleFrames: readonly number[];
    readonly endSystoleFrames: readonly number[];
    readonly periodFrames: number | null;
  } | null;
}

const within = (frames: readonly number[], count: number): number[] =>
  [...new Set(frames)].filter((f) => Number.isInteger(f) && f >= 0 && f < count).sort((a, b) => a - b);

/**
 * Moments and beats of a clip. Beats begin at R waves, else at marked end-diastoles, else at suggested ones; a single beginning with a
 * known period makes one beat. What a person marked stands before what was suggested for the same kind of moment.
 */
export function cycleOf({ times, rWaveTimesMs, marks, suggested }: CycleFacts): ClipCycle {
  const count = times.length;
  const end = times.at(-1) ?? 0;
  const waves = within(
    rWaveTimesMs.filter((t) => t >= 0 && t <= end).map((t) => frameAt(times, t)),
    count,
  );
  const said = within(marks?.endDiastole ?? [], count);
  const seen = within(suggested?.endDiastoleFrames ?? [], count);
  const period = suggested?.periodFrames ?? null;
  const choices = [
    { frames: waves, source: 'r-wave' as const },
    { frames: said, source: 'marked' as const },
    { frames: seen, source: 'suggested' as const },
  ];
  const chosen = choices
    .map((c) => ({ ...c, beats: beatsFrom(c.frames, count, c.source === 'suggested' ? period : null) }))
    .find((c) => c.beats.length > 0);
  const systoles = within(marks?.endSystole ?? [], count);
  const seenSystoles = within(suggested?.endSystoleFrames ?? [], count);
  return {
    endDiastole: momentsOf(said, waves.length > 0 ? waves : seen, waves.length > 0 ? 'r-wave' : 'suggested'),
    endSystole: momentsOf(systoles, seenSystoles, 'suggested'),
    beats: chosen?.beats ?? [],
    source: chosen?.source ?? null,
  };
}

/** A marked moment takes the place of a suggested one this near to it, frames. */
const SAME_MOMENT_FRAMES = 4;

function momentsOf(marked: readonly number[], other: readonly number[], from: Moment['from']): Moment[] {
  const left = other.filter((f) => !marked.some((m) => Math.abs(m - f) <= SAME_MOMENT_FRAMES));
  return [
    ...marked.map((frame) => ({ frame, from: 'marked' as const })),
    ...left.map((frame) => ({ frame, from })),
  ].sort((a, b) => a.frame - b.frame);
}

function beatsFrom(starts: readonly number[], count: number, period: number | null): Beat[] {
  const beats = starts.slice(0, -1).map((from, n) => ({ from, to: starts[n + 1] as number }));
  if (beats.length > 0) return beats;
  const [only] = starts;
  if (only === undefined || period === null || period < 2) return [];
  const to = only + Math.round(period);
  return to <= count ? [{ from: only, to }] : [];
}

/** The moment nearest after a frame, going round; null where there is none. */
export function nextMoment(moments: readonly Moment[], frame: number): Moment | null {
  return moments.find((m) => m.frame > frame) ?? moments[0] ?? null;
}

/** Marks with a frame put in, or taken out where it was: marking twice unmarks. */
export function toggledMark(frames: readonly number[], frame: number): number[] {
  return frames.includes(frame)
    ? frames.filter((f) => f !== frame)
    : [...frames, frame].sort((a, b) => a - b);
}
