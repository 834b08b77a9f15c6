import { z } from 'zod';
import { day, id, revision } from './ids';
import { viewId } from './terms';

const yesNoUnknown = z.enum(['yes', 'no', 'unknown']);

/** Why a view could not be had, in the words that are shown. */
export const notPossibleReasons = ['panting', 'distress', 'no window', 'no time left'] as const;
export type NotPossibleReason = (typeof notPossibleReasons)[number];

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

export const scanState = stateAtScan.extend({
  /** Views of which no clip can be had, by the word of who scanned; absent where nothing was said. */
  notPossible: z.partialRecord(viewId, z.enum(notPossibleReasons)).optional(),
});
export type ScanState = z.infer<typeof scanState>;

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
  state: scanState,
  revision,
});
export type ScanRecord = z.infer<typeof scanRecord>;
