import type { Me, PatientRecord, StateAtScan } from '@chordae/contract';
import type { Op } from './kept';

/** What an offline view is made from besides the kept replies: who works here, and the patients this device knows. */
export interface World {
  readonly me: Me;
  readonly patient: (practiceId: string, patientId: string) => PatientRecord | null;
}

/** A write as the folds read it. */
export type Written = Pick<Op, 'route' | 'params' | 'body' | 'saidAt'>;

/** A number that only the server gives: not known yet. */
export const NO_NUMBER = 0;

/** The same as the contract's own, which would bring its schemas into the first page; a test compares them. */
export const NOT_ASKED: StateAtScan = {
  sedative: null,
  sedativeAt: null,
  diuretic24h: null,
  fluids24h: null,
  hydration: null,
  rhythm: null,
  posture: null,
  bodyCondition: null,
  ascites: null,
  heartDrugs: null,
};
