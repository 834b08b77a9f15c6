import type {
  CaseView,
  ClipRecord,
  MeasurementCode,
  MeasurementEntry,
  MeasurementRecord,
  ViewId,
} from '@chordae/contract';
import { quantityCodes, unitOf, wantedMeasurements } from '@chordae/interpretation';
import { canKeep, keptValue } from '@chordae/measurement';
import type { ClipsById, Reading } from './canvas/reading';
import { geometryOf, methodOf } from './canvas/reading';
import { measuredByReaders } from './guided';
import { judgementOf } from './judge-dialog';

/** The view that a clip shows: what a reader says before what the sender says. */
export function viewOf(c: CaseView, clip: ClipRecord): ViewId | null {
  return judgementOf(c.statements, clip.id)?.view ?? clip.view;
}

/** What a drawing may be kept as, what the question wants first. */
export function codesFor(c: CaseView, reading: Reading): MeasurementCode[] {
  const wanted = wantedMeasurements(c.referral.plan, c.patient.species).map((m) => m.code);
  return [...new Set([...wanted, ...quantityCodes])].filter((code) => canKeep(reading.shape, unitOf(code)));
}

/** Beats of one quantity that stand on one view, oldest first. */
export function beatsOf(c: CaseView, code: MeasurementCode, view: ViewId | null): MeasurementRecord[] {
  return measuredByReaders(c.measurements).filter((m) => m.code === code && m.view === view);
}

/** A further drawing of one quantity is a further beat, averaged; beats are counted from 1. */
export function nextBeat(beats: readonly MeasurementRecord[]): number {
  return Math.max(0, ...beats.map((m) => m.beat ?? 1)) + 1;
}

/** The measurement as it is sent; null where the drawing gives none of that unit. */
export function entryOf(
  reading: Reading,
  code: MeasurementCode,
  clips: ClipsById,
  where: { readonly view: ViewId | null; readonly beat: number | null; readonly replaces: string | null },
): MeasurementEntry | null {
  const unit = unitOf(code);
  const value = reading.values.ok ? keptValue(reading.values.value, reading.shape, code, unit) : null;
  const geometry = geometryOf(reading, clips);
  if (value === null || !geometry) return null;
  return {
    code,
    value,
    unit,
    asTyped: '',
    view: where.view,
    method: methodOf(reading, clips),
    beat: where.beat,
    clipId: reading.clipId,
    frame: reading.frame,
    source: 'caliper',
    geometry,
    supersedesId: where.replaces,
    withdrawn: false,
  };
}
