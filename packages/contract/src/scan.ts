import { z } from 'zod';
import { day, id, revision } from './ids';

const yesNoUnknown = z.enum(['yes', 'no', 'unknown']);

/** What decides what may be graded. `unknown` is an answer; null is 'not asked yet'. */
export const stateAtScan = z.object({
  sedative: z.enum(['none', 'alpha-2', 'opioid', 'gabapentin', 'other', 'unknown']).nullable(),
  sedativeAt: z.string().max(40).nullable(),
  diuretic24h: yesNoUnknown.nullable(),
  fluids24h: yesNoUnknown.nullable(),
  hydration: z.enum(['normal', 'dry', 'overloaded', 'unknown']).nullable(),
  rhythm: z.enum(['sinus', 'atrial-fibrillation', 'other-arrhythmia', 'unknown']).nullable(),
  posture: z.enum(['lying-right', 'lying-left', 'sternal', 'standing', 'unknown']).nullable(),
  bodyCondition: z.int().min(1).max(9).nullable(),
  ascites: yesNoUnknown.nullable(),
  heartDrugs: z.string().max(400).nullable(),
});
export type StateAtScan = z.infer<typeof stateAtScan>;

export const EMPTY_STATE_AT_SCAN: StateAtScan = {
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

export const scanRecord = z.object({
  id,
  patientId: id,
  scannedOn: day,
  operator: z.string().max(120),
  machine: z.string().max(120),
  state: stateAtScan,
  revision,
});
export type ScanRecord = z.infer<typeof scanRecord>;
