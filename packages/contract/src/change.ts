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

/** An earlier scan of the same patient that the viewer may see, with the referral it was sent in. */
export const earlierScan = scanNumbers.extend({ referralId: z.string(), number: z.int() });
export type EarlierScan = z.infer<typeof earlierScan>;

/** The rules changed while a referral was open: what the same input gives now and did not give before. */
export const engineNews = z.object({
  fromVersion: z.string(),
  toVersion: z.string(),
  differences: z.array(difference),
});
export type EngineNews = z.infer<typeof engineNews>;

/** One patient of a practice on an index: for drawing them over a limit's formula. */
export const indexValue = z.object({
  referralId: z.string(),
  number: z.int(),
  value: z.number(),
  unit: z.string(),
  weightKg: z.number(),
});
export type IndexValue = z.infer<typeof indexValue>;

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
