import { z } from 'zod';
import { measurementSource } from './measurement';
import { canonicalUnit, measurementCode } from './measurement-codes';
import { observationCode } from './observation-codes';
import { stateAtScan } from './scan';
import { scanPlanId, sex, species, urgency, viewId } from './terms';

/** Everything the engine may rest on. Pure data: the same input gives the same answer in browser, server and CLI. */
export const interpretationInput = z.object({
  schema: z.literal(1),
  patient: z.object({
    species,
    breedCode: z.string().nullable(),
    breedText: z.string(),
    sex,
    neutered: z.boolean().nullable(),
    /** Whole months at the scan; null when the birth date is not known. */
    ageMonths: z.int().min(0).nullable(),
    weight: z.object({ kg: z.number(), guessed: z.boolean() }).nullable(),
  }),
  plan: scanPlanId,
  urgencyAsked: urgency.nullable(),
  state: stateAtScan,
  measurements: z.array(
    z.object({
      id: z.string(),
      code: measurementCode,
      value: z.number(),
      unit: canonicalUnit,
      view: viewId.nullable(),
      method: z.enum(['2d', 'm-mode', 'doppler', 'other']).nullable(),
      beat: z.int().nullable(),
      source: measurementSource,
    }),
  ),
  observations: z.array(
    z.object({
      id: z.string(),
      code: observationCode,
      value: z.string(),
      /** Who gave it. What a machine gave alone never fires an act-now rule (it asks a person to look). */
      side: z.enum(['sender', 'reader', 'machine']).optional(),
    }),
  ),
  views: z.array(
    z.object({
      view: viewId,
      clipId: z.string().nullable(),
      judged: z.enum(['received', 'adequate', 'doubtful', 'not-possible']),
      why: z.string().nullable(),
    }),
  ),
});
export type InterpretationInput = z.infer<typeof interpretationInput>;

/** Data for a sentence: codes and numbers, never prose. */
export const wordData = z.record(
  z.string(),
  z.union([z.string(), z.number(), z.boolean(), z.null(), z.array(z.string())]),
);
export type WordData = z.infer<typeof wordData>;

/** How far a number's origin was seen. `common practice` and `memory` are shown as such wherever used. */
export const sourceStatus = z.enum(['primary', 'secondary', 'memory', 'common practice']);
export type SourceStatus = z.infer<typeof sourceStatus>;

export const sourceRef = z.object({
  citation: z.string(),
  doi: z.string().nullable(),
  status: sourceStatus,
});
export type SourceRef = z.infer<typeof sourceRef>;

/** A published bound as applied to this patient. */
export const appliedLimit = z.object({
  id: z.string(),
  /** Bounds in the index's unit; null is open. */
  lower: z.number().nullable(),
  upper: z.number().nullable(),
  /** Further ticks on the limit line, e.g. grade bounds. */
  ticks: z.array(z.object({ at: z.number(), code: z.string() })),
  population: z.string(),
  /** Why this limit was chosen: breed's own, group, weight-normalised, fixed. */
  chosenBecause: z.enum(['breed', 'group', 'weight', 'fixed']),
  /** true: shown as comparison, never graded. */
  comparisonOnly: z.boolean(),
  source: sourceRef,
});
export type AppliedLimit = z.infer<typeof appliedLimit>;

export const position = z.enum(['below', 'within', 'above', 'not-graded']);

export const indexResult = z.object({
  code: z.string(),
  /** Value in `unit`. */
  value: z.number(),
  unit: z.string(),
  /** 95 % interval from measurement repeatability, where known. */
  interval: z.tuple([z.number(), z.number()]).nullable(),
  /** Values of the single beats, in order. */
  beats: z.array(z.number()),
  /** One line a vet can redo on paper: 'LVIDDN = 3.82 cm / 7.4^0.294 = 2.12'. */
  arithmetic: z.string(),
  measurementIds: z.array(z.string()),
  limits: z.array(appliedLimit),
  position,
  closeness: z.enum(['clear', 'within-error']).nullable(),
  /** Grades by named scales: authors' scales differ, so the scale's name stands beside the grade. */
  grades: z.array(z.object({ scale: z.string(), code: z.string(), limitId: z.string() })),
  /** Codes with data: why it is not graded, what to be careful about. */
  cautions: z.array(z.object({ code: z.string(), data: wordData })),
});
export type IndexResult = z.infer<typeof indexResult>;

export const flagLevel = z.enum(['act-now', 'look', 'note']);
export type FlagLevel = z.infer<typeof flagLevel>;

export const flag = z.object({
  /** Stable within a case: rule id plus subject, so that an answer to it survives recomputation. */
  key: z.string(),
  rule: z.object({ id: z.string(), version: z.int() }),
  level: flagLevel,
  code: z.string(),
  data: wordData,
  urgency: urgency.nullable(),
  evidence: z.object({
    measurementIds: z.array(z.string()),
    observationIds: z.array(z.string()),
    indexCodes: z.array(z.string()),
    limitIds: z.array(z.string()),
  }),
  sources: z.array(sourceRef).min(1),
});
export type Flag = z.infer<typeof flag>;

export const viewCompleteness = z.object({
  view: viewId,
  need: z.enum(['must', 'helps']),
  state: z.enum(['received', 'adequate', 'doubtful', 'missing', 'not-possible']),
  why: z.string().nullable(),
  clipIds: z.array(z.string()),
});
export type ViewCompleteness = z.infer<typeof viewCompleteness>;

/** A view that would help most if it were scanned again, and what it would open. */
export const scanAgain = z.object({
  view: viewId,
  need: z.enum(['must', 'helps']),
  /** The view is missing, or there and doubtful; `why` as the check or the reader put it. */
  state: z.enum(['missing', 'doubtful']),
  why: z.string().nullable(),
  /** Planned measurements that it would give and that are not there yet. */
  measurements: z.array(measurementCode),
  /** Checks that could then run. */
  opens: z.array(z.string()),
});
export type ScanAgain = z.infer<typeof scanAgain>;

export const interpretation = z.object({
  schema: z.literal(2),
  engine: z.object({ version: z.string(), limitsHash: z.string() }),
  inputHash: z.string(),
  indices: z.array(indexResult),
  flags: z.array(flag),
  urgencyProposed: urgency,
  /** Codes of why that urgency. */
  urgencyBecause: z.array(z.string()),
  stages: z.array(
    z.object({
      scheme: z.string(),
      /** e.g. 'echo-criteria-b2-met', 'fits-b2'; never 'is'. */
      code: z.string(),
      met: z.array(z.string()),
      unmet: z.array(z.string()),
      missing: z.array(z.string()),
      source: sourceRef,
    }),
  ),
  completeness: z.object({
    views: z.array(viewCompleteness),
    measurements: z.array(
      z.object({
        code: measurementCode,
        need: z.enum(['must', 'helps']),
        present: z.boolean(),
        /** `doubtful`: on a doubtful view, contradicted, or from a picture's computing alone. */
        state: z.enum(['there', 'doubtful', 'missing']),
      }),
    ),
    /** What to scan again, most useful first; empty while the patient is in distress. */
    again: z.array(scanAgain),
    /** Why nothing is asked for although something is missing. */
    againHeld: z.enum(['distress']).nullable(),
    /** Checks that could run all the same: what can be said without it. */
    withoutIt: z.array(z.string()),
  }),
  /** Silence is never reassurance: how many checks could run, and what was not assessed. */
  checks: z.object({ ran: z.int(), of: z.int(), notAssessed: z.array(z.string()) }),
  missing: z.array(z.object({ code: z.string(), field: z.string(), blocks: z.array(z.string()) })),
});
export type Interpretation = z.infer<typeof interpretation>;

/** An interpretation as it was stored by an earlier engine, brought to today's form; what it said is not changed. */
export function upgradeInterpretation(stored: Interpretation): Interpretation {
  const { schema } = stored as { schema: number };
  if (schema === 2) return stored;
  const { completeness } = stored;
  return {
    ...stored,
    schema: 2,
    completeness: {
      views: completeness.views,
      measurements: completeness.measurements.map((m) => ({ ...m, state: m.present ? 'there' : 'missing' })),
      again: [],
      againHeld: null,
      withoutIt: [],
    },
  };
}
