import type { ClipDescription, Problem } from '@chordae/contract';
import type { FilmFormat } from '@chordae/dicom';
import { problem } from '@chordae/dicom';

/** What a film's container and first pictures tell. */
export interface FilmSays {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly codec: string;
  readonly frameTimesMs: readonly number[] | null;
  readonly frameCount: number;
  readonly turnedDegrees: number;
  readonly interlaced: boolean;
  readonly pixelAspect: number;
}

/** A film as a clip: its container's times, no calibration. `dropped`: exact repeats that were left out. */
export function describeFilm(head: FilmSays, format: FilmFormat, dropped: number): ClipDescription {
  const problems: Problem[] = [problem('CALIBRATION_MISSING')];
  if (head.frameCount > 1)
    problems.push(problem(head.frameTimesMs === null ? 'TIMING_UNKNOWN' : 'TIMING_OF_FILM'));
  problems.push(...filmNotes(head));
  if (dropped > 0) problems.push(problem('FRAMES_DROPPED', { count: dropped }));
  const single = head.frameCount === 1;
  return {
    format,
    transferSyntax: head.codec,
    kind: single ? 'still' : 'clip',
    widthPx: head.widthPx,
    heightPx: head.heightPx,
    frameCount: head.frameCount,
    frameTimesMs: single ? [0] : head.frameTimesMs === null ? null : [...head.frameTimesMs],
    timing: single ? 'still' : head.frameTimesMs === null ? 'unknown' : 'film',
    rWaveTimesMs: [],
    regions: [],
    problems,
  };
}

/** What was done to the picture, or would make it misread. */
export function filmNotes(head: Omit<FilmSays, 'frameTimesMs' | 'frameCount'>): Problem[] {
  const problems: Problem[] = [];
  if (head.turnedDegrees !== 0) problems.push(problem('FILM_TURNED', { degrees: head.turnedDegrees }));
  if (head.interlaced) problems.push(problem('FILM_INTERLACED'));
  if (head.pixelAspect < 0.99 || head.pixelAspect > 1.01)
    problems.push(problem('PIXELS_NOT_SQUARE', { ratio: Math.round(head.pixelAspect * 1000) / 1000 }));
  return problems;
}
