import type {
  ClipStatementRecord,
  InterpretationInput,
  MeasurementRecord,
  ObservationRecord,
  PatientView,
  ScanPlanId,
  ScanRecord,
  Urgency,
} from '@chordae/contract';
// By its own entry: the contract's index brings the schema library along.
import { standingStatement } from '@chordae/contract/standing-statement';
import { knownState } from './known-state';

/** What a case holds that the engine may rest on; scans oldest first. */
export interface CaseFacts {
  readonly patient: PatientView;
  readonly plan: ScanPlanId;
  readonly urgencyAsked: Urgency | null;
  readonly scans: readonly ScanRecord[];
  readonly measurements: readonly MeasurementRecord[];
  readonly observations: readonly ObservationRecord[];
  readonly clips: readonly {
    id: string;
    view: InterpretationInput['views'][number]['view'] | null;
    viewJudged: InterpretationInput['views'][number]['judged'];
    viewWhy: string | null;
  }[];
  /** What people said about the clips; a reader's judgement of a view stands before the sender's name for it. */
  readonly statements?: readonly ClipStatementRecord[];
}

/** What stands: not superseded, not withdrawn. Where a reader measured the same code, the reader's stands and the sender's stays visible. */
export function standing(all: readonly MeasurementRecord[]): MeasurementRecord[] {
  const live = all.filter((m) => m.supersededById === null && !m.withdrawn);
  const byReader = new Set(live.filter((m) => m.side === 'reader').map((m) => m.code));
  return live.filter((m) => m.side === 'reader' || !byReader.has(m.code));
}

/**
 * The engine's input from what a case holds, built alike by the page and the server so that both compute on the same.
 * What is known of the state at scan decides what may be graded.
 */
export function caseInput(facts: CaseFacts): InterpretationInput {
  const { patient } = facts;
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
    plan: facts.plan,
    urgencyAsked: facts.urgencyAsked,
    state: knownState(facts.scans),
    measurements: standing(facts.measurements).map(
      ({ id, code, value, unit, view, method, beat, source }) => ({
        id,
        code,
        value,
        unit,
        view,
        method,
        beat,
        source,
      }),
    ),
    observations: facts.observations.flatMap((o) =>
      o.supersededById === null && o.value !== null
        ? [{ id: o.id, code: o.code, value: o.value, side: o.side }]
        : [],
    ),
    views: [...viewsOfClips(facts), ...viewsNotPossible(facts.scans)],
  };
}

/** A view that could not be had at the newest scan: said once, with why; a clip of it goes before. */
function viewsNotPossible(scans: readonly Pick<ScanRecord, 'state'>[]): InterpretationInput['views'] {
  const said = Object.entries(scans.at(-1)?.state.notPossible ?? {});
  return said.map(([view, why]) => ({
    view: view as InterpretationInput['views'][number]['view'],
    clipId: null,
    judged: 'not-possible',
    why: why ?? null,
  }));
}

function viewsOfClips(facts: CaseFacts): InterpretationInput['views'] {
  return facts.clips.flatMap((c) => {
    const judged = standingStatement(facts.statements ?? [], c.id, 'judgement')?.statement;
    if (judged)
      return [{ view: judged.view, clipId: c.id, judged: usable(judged.judged), why: judged.why || null }];
    return c.view ? [{ view: c.view, clipId: c.id, judged: c.viewJudged, why: c.viewWhy }] : [];
  });
}

/**
 * A clip that a person calls not usable leaves its view in doubt: it is worth scanning again. 'not-possible' without a clip
 * is another matter: that view could not be had.
 */
function usable(judged: 'adequate' | 'doubtful' | 'not-possible'): 'adequate' | 'doubtful' {
  return judged === 'adequate' ? 'adequate' : 'doubtful';
}
