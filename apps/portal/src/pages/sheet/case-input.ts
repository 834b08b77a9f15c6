import type {
  CaseView,
  InterpretationInput,
  MeasurementCode,
  MeasurementRecord,
  ObservationCode,
  ObservationRecord,
} from '@chordae/contract';
import { knownState } from '@chordae/interpretation';
import { lastWhere } from '../../host/last-where';

/** What stands: not superseded, not withdrawn; the reader's before the sender's, as the server takes it. */
export function standing(all: readonly MeasurementRecord[]): MeasurementRecord[] {
  const live = all.filter((m) => m.supersededById === null && !m.withdrawn);
  const byReader = new Set(live.filter((m) => m.side === 'reader').map((m) => m.code));
  return live.filter((m) => m.side === 'reader' || !byReader.has(m.code));
}

/** The answer that stands for a code, or null. */
export function standingAnswer(
  all: readonly ObservationRecord[],
  code: ObservationCode,
): ObservationRecord | null {
  return lastWhere(all, (o) => o.code === code && o.supersededById === null) ?? null;
}

/** What is typed on the page and not yet on the server. */
export interface Typed {
  /** Replaces whatever stands for the same code and beat of the sender. `null`: the cell was emptied or cannot be read. */
  readonly measurements: ReadonlyMap<string, InterpretationInput['measurements'][number] | null>;
  readonly answers: ReadonlyMap<ObservationCode, string | null>;
  readonly referral: Readonly<Record<string, unknown>>;
  readonly state: Partial<InterpretationInput['state']>;
}

export function cellKey(code: MeasurementCode, beat: number | null): string {
  return `${code}:${beat ?? 1}`;
}

/** The engine's input from the case and what was typed since; the same as the server's once all is saved. */
export function liveInput(c: CaseView, typed: Typed): InterpretationInput {
  const { patient, referral } = c;
  const saved = standing(c.measurements).filter(
    (m) => m.side !== 'sender' || !typed.measurements.has(cellKey(m.code, m.beat)),
  );
  const codesOfReader = new Set(saved.filter((m) => m.side === 'reader').map((m) => m.code));
  const fresh = [...typed.measurements.values()].filter((m) => m !== null && !codesOfReader.has(m.code));
  const answers = c.observations.filter(
    (o) => o.supersededById === null && o.value !== null && !typed.answers.has(o.code),
  );
  return {
    schema: 1,
    patient: {
      species: patient.species,
      breedCode: patient.breedCode,
      breedText: patient.breedText,
      sex: patient.sex,
      neutered: patient.neutered,
      ageMonths: patient.ageMonths,
      weight: patient.weight ? { kg: patient.weight.weightKg, guessed: patient.weight.guessed } : null,
    },
    plan: (typed.referral['plan'] as CaseView['referral']['plan'] | undefined) ?? referral.plan,
    urgencyAsked: referral.urgencyAsked,
    state: { ...knownState(c.scans), ...typed.state },
    measurements: [
      ...saved.map(({ id, code, value, unit, view, method, beat, source }) => ({
        id,
        code,
        value,
        unit,
        view,
        method,
        beat,
        source,
      })),
      ...(fresh as InterpretationInput['measurements']),
    ],
    observations: [
      ...answers.map((o) => ({ id: o.id, code: o.code, value: o.value ?? '' })),
      ...[...typed.answers].flatMap(([code, value]) =>
        value === null ? [] : [{ id: `typed-${code}`, code, value }],
      ),
    ],
    views: c.clips.flatMap((clip) =>
      clip.view ? [{ view: clip.view, clipId: clip.id, judged: clip.viewJudged, why: clip.viewWhy }] : [],
    ),
  };
}
