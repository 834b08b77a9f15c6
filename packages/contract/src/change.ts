import { z } from 'zod';
import { interpretationInput, wordData } from './interpretation';
import { measurementCode } from './measurement-codes';
import { viewId } from './terms';

/** One answer that differs between two interpretations of a case. */
export const difference = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('position'), index: z.string(), from: z.string(), to: z.string() }),
  z.object({
    kind: z.literal('grade'),
    index: z.string(),
    scale: z.string(),
    from: z.string().nullable(),
    to: z.string().nullable(),
  }),
  z.object({
    kind: z.literal('stage'),
    scheme: z.string(),
    from: z.array(z.string()),
    to: z.array(z.string()),
  }),
  z.object({
    kind: z.literal('flag'),
    code: z.string(),
    key: z.string(),
    change: z.enum(['appears', 'goes']),
  }),
  z.object({ kind: z.literal('urgency'), from: z.string(), to: z.string() }),
]);
export type Difference = z.infer<typeof difference>;

/** The smallest change of one input, the others unchanged, that gives another grade, stage or urgency. */
export const turn = z.object({
  /** What would have to change: a measurement (all its beats alike) or the body weight. */
  input: z.union([measurementCode, z.literal('weight')]),
  view: viewId.nullable(),
  from: z.number(),
  to: z.number(),
  unit: z.string(),
  changes: z.array(difference),
});
export type Turn = z.infer<typeof turn>;

/** One scan of a patient as it was measured. */
export const scanNumbers = z.object({
  /** Day of the scan, YYYY-MM-DD. */
  scannedOn: z.string(),
  /** Who scanned; null where it is not known. */
  operator: z.string().nullable(),
  input: interpretationInput,
});
export type ScanNumbers = z.infer<typeof scanNumbers>;

/** One index now against the same index then. */
export interface IndexChange {
  index: string;
  unit: string;
  against: 'last' | 'first';
  earlierOn: string;
  now: number;
  earlier: number;
  difference: number;
  /** Smallest difference that is more than measuring error (2.77 × CV of the mean of both), in the index's unit; null where no CV is known. */
  smallest: number | null;
  /** Never 'unchanged': below the smallest difference nothing can be told. */
  verdict: 'beyond-error' | 'cannot-be-told' | 'not-compared';
  operators: 'same' | 'different' | 'unknown';
  /** Why it is not compared, or what to be careful about. */
  cautions: { code: string; data: z.infer<typeof wordData> }[];
}

export interface SerialFinding {
  code: 'TRANSIENT_THICKENING_DEFINITION_MET';
  data: z.infer<typeof wordData>;
}

export interface SerialChange {
  changes: IndexChange[];
  findings: SerialFinding[];
}
