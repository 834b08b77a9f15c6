import type {
  CaseView,
  InterpretationInput,
  MeasurementCode,
  ObservationCode,
  ObservationRecord,
  ScanState,
} from '@chordae/contract';
import { caseInput, standing } from '@chordae/interpretation';
import { lastWhere } from '../../host/last-where';

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
  readonly state: Partial<ScanState>;
}

export function cellKey(code: MeasurementCode, beat: number | null): string {
  return `${code}:${beat ?? 1}`;
}

/** Answers about the animal; which views could not be had is said by the views. */
function answersOf(state: Typed['state']): Partial<InterpretationInput['state']> {
  return Object.fromEntries(Object.entries(state).filter(([question]) => question !== 'notPossible'));
}

/** The engine's input from the case and what was typed since; the same as the server's once all is saved. */
export function liveInput(c: CaseView, typed: Typed): InterpretationInput {
  const { referral } = c;
  const saved = caseInput({
    patient: c.patient,
    plan: (typed.referral['plan'] as CaseView['referral']['plan'] | undefined) ?? referral.plan,
    urgencyAsked: referral.urgencyAsked,
    scans: c.scans.map((scan, n) =>
      n === c.scans.length - 1 ? { ...scan, state: { ...scan.state, ...typed.state } } : scan,
    ),
    measurements: c.measurements.filter(
      (m) => m.side !== 'sender' || !typed.measurements.has(cellKey(m.code, m.beat)),
    ),
    observations: c.observations.filter((o) => !typed.answers.has(o.code)),
    clips: c.clips,
    statements: c.statements,
  });
  const ofReader = new Set(standing(c.measurements).flatMap((m) => (m.side === 'reader' ? [m.code] : [])));
  const fresh = [...typed.measurements.values()].filter((m) => m !== null && !ofReader.has(m.code));
  const given = [...typed.answers].flatMap(([code, value]) =>
    value === null ? [] : [{ id: `typed-${code}`, code, value, side: 'sender' as const }],
  );
  return {
    ...saved,
    state: { ...saved.state, ...answersOf(typed.state) },
    measurements: [...saved.measurements, ...(fresh as InterpretationInput['measurements'])],
    observations: [...saved.observations, ...given],
  };
}
