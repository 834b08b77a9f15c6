import type { MeasuredLearning, MeasurementCode, Species, ViewId, ViewLearning } from '@chordae/contract';
import { measurementCv, smallestChange } from '@chordae/interpretation';
import { groupedBy } from '../../platform/grouped-by';

export interface JudgedClip {
  readonly view: ViewId;
  /** Day of the scan. */
  readonly day: string;
  /** The newest judgement of a reader; null where none was given. */
  readonly judged: 'adequate' | 'doubtful' | 'not-possible' | null;
}

const KEYS = {
  adequate: 'adequate',
  doubtful: 'doubtful',
  'not-possible': 'notPossible',
  none: 'notJudged',
} as const;

/** Quarter of a year of a day. `quarterOf('2026-11-25')` is '2026-Q4'. */
export function quarterOf(day: string): string {
  return `${day.slice(0, 4)}-Q${Math.ceil(Number(day.slice(5, 7)) / 3)}`;
}

function count(clips: readonly JudgedClip[]) {
  const tally = { adequate: 0, doubtful: 0, notPossible: 0, notJudged: 0 };
  for (const clip of clips) tally[KEYS[clip.judged ?? 'none']] += 1;
  return tally;
}

/** Clips by view, and within a view by quarter, oldest first; the view seen most often first. */
export function tallyViews(clips: readonly JudgedClip[]): ViewLearning[] {
  return [...groupedBy(clips, (c) => c.view)]
    .sort(([a, x], [b, y]) => y.length - x.length || a.localeCompare(b))
    .map(([view, own]) => ({
      view,
      ...count(own),
      quarters: [...groupedBy(own, (c) => quarterOf(c.day))]
        .sort(([a], [b]) => a.localeCompare(b))
        .map(([quarter, of]) => ({ quarter, ...count(of) })),
    }));
}

export interface SideValue {
  readonly referralId: string;
  readonly species: Species;
  readonly code: MeasurementCode;
  readonly unit: string;
  readonly view: string | null;
  readonly beat: number | null;
  readonly side: 'sender' | 'reader';
  readonly value: number;
}

const meanOf = (values: readonly number[]): number => values.reduce((sum, v) => sum + v, 0) / values.length;

/**
 * The same quantity, view and beat of the same case, as person and reader measured it: how far apart on average, and how
 * often further than 2.77 × CV of their mean (repeatability of the species, from shared/limits).
 */
export function tallyMeasured(values: readonly SideValue[]): MeasuredLearning[] {
  const found = new Map<MeasurementCode, { percent: number; beyond: boolean | null }[]>();
  for (const own of groupedBy(values, (v) =>
    [v.referralId, v.code, v.unit, v.view, v.beat].join(' '),
  ).values()) {
    const first = own[0];
    const of = (side: SideValue['side']) => own.filter((v) => v.side === side).map((v) => v.value);
    const [mine, theirs] = [of('sender'), of('reader')];
    if (!first || mine.length === 0 || theirs.length === 0) continue;
    const [a, b] = [meanOf(mine), meanOf(theirs)];
    const mean = (a + b) / 2;
    if (mean === 0) continue;
    const cv = measurementCv(first.species, first.code);
    const beyond = cv === null ? null : Math.abs(a - b) > smallestChange(mean, cv);
    found.set(first.code, [
      ...(found.get(first.code) ?? []),
      { percent: ((a - b) / Math.abs(mean)) * 100, beyond },
    ]);
  }
  return [...found]
    .sort(([a, x], [b, y]) => y.length - x.length || a.localeCompare(b))
    .map(([code, pairs]) => {
      const known = pairs.filter((p) => p.beyond !== null);
      return {
        code,
        pairs: pairs.length,
        meanDifferencePercent: meanOf(pairs.map((p) => p.percent)),
        beyondError: known.length === 0 ? null : known.filter((p) => p.beyond).length,
        comparable: known.length,
      };
    });
}
