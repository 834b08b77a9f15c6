import type {
  ClipRecord,
  MeasurementCode,
  MeasurementRecord,
  ScanPlanId,
  Species,
  ViewId,
} from '@chordae/contract';
import { viewsFor, wantedMeasurements } from '@chordae/interpretation';
import type { MeasuringGuide, MeasuringMoment } from '@chordae/words';
import { measuringGuides } from '@chordae/words';
import type { ClipCycle, Moment } from '../../host/clips/beats';
import { nextMoment } from '../../host/clips/beats';

/** One measurement that the question wants and that can be drawn. */
export interface WantedStep {
  readonly code: MeasurementCode;
  readonly guide: MeasuringGuide;
  readonly views: readonly ViewId[];
  /** A reader has measured it already. */
  readonly done: boolean;
}

/** What stands as measured by a reader. */
export function measuredByReaders(measurements: readonly MeasurementRecord[]): MeasurementRecord[] {
  return measurements.filter((m) => m.side === 'reader' && !m.supersededById && !m.withdrawn);
}

/** The wanted measurements that are drawn, in the order in which they are best taken; those of one gesture stand once. */
export function wantedSteps(
  plan: ScanPlanId,
  species: Species,
  measurements: readonly MeasurementRecord[],
): WantedStep[] {
  const measured = new Set(measuredByReaders(measurements).map((m) => m.code));
  return wantedMeasurements(plan, species).flatMap(({ code }) => {
    const guide = measuringGuides[code];
    // The aorta is drawn together with the atrium.
    if (!guide || code === 'ao-sax') return [];
    return [{ code, guide, views: viewsFor(code), done: measured.has(code) }];
  });
}

/** The first one after `current` that is not measured yet, else the first of all; null when nothing is left. */
export function nextStep(steps: readonly WantedStep[], current: MeasurementCode | null): WantedStep | null {
  const at = steps.findIndex((s) => s.code === current);
  return steps.find((s, n) => n > at && !s.done) ?? steps.find((s) => !s.done && s.code !== current) ?? null;
}

/** The clip to measure on: of the views in their order the first one there, one that is shown before others; null where none came. */
export function clipFor<C extends Pick<ClipRecord, 'id'>>(
  step: Pick<WantedStep, 'views'>,
  clips: readonly C[],
  viewOf: (clip: C) => ViewId | null,
  shown: readonly string[],
): C | null {
  for (const view of step.views) {
    const fits = clips.filter((c) => viewOf(c) === view);
    const found = fits.find((c) => shown.includes(c.id)) ?? fits[0];
    if (found) return found;
  }
  return null;
}

/** The frame at which a moment is said or suggested to be, next after one; null where nothing says so. */
export function frameFor(
  moment: MeasuringMoment,
  cycle: ClipCycle,
  after: number,
  count: number,
): Moment | null {
  if (moment === 'any') return null;
  // What a person marked stands before what is only suggested.
  const best = (moments: readonly Moment[]) => {
    const marked = moments.filter((m) => m.from === 'marked');
    return nextMoment(marked.length > 0 ? marked : moments, after);
  };
  if (moment === 'end-diastole') return best(cycle.endDiastole);
  const systole = best(cycle.endSystole);
  if (moment === 'end-systole') return systole;
  // Early diastole: the valve closes as systole ends, so the frame after it.
  return systole ? { frame: Math.min(count - 1, systole.frame + 1), from: 'suggested' } : null;
}
