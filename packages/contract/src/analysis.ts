import { z } from 'zod';
import { assessment } from './assessment';
import { box, clipDescription, machineReport, machineSays, maskState, problem } from './clip';
import { fanProposal } from './fan-proposal';
import { viewId } from './terms';

/** A problem with its sentence. */
export const saidProblem = problem.extend({ sentence: z.string() });

/** What one calibrated part of the picture would let one measure. */
export const analysedRegion = z.object({
  /** From 1, in the order of the file. */
  region: z.int(),
  kind: z.enum(['2d', 'm-mode', 'spectral', 'trace', 'other']),
  widthPx: z.int(),
  heightPx: z.int(),
  /** Its whole extent by its own scale; null without a unit. */
  spanX: z.object({ value: z.number(), unit: z.string() }).nullable(),
  spanY: z.object({ value: z.number(), unit: z.string() }).nullable(),
  usable: z.boolean(),
  /** Why nothing may be measured on it. */
  whyNot: z.string().nullable(),
});

/** What would leave the practice of this file. */
export const analysedMask = z.object({
  state: maskState,
  /** Rectangles that stay visible; null: all of it, or nobody has decided. */
  keepBoxes: z.array(box).nullable(),
  /** Part of the picture that would be covered, 0 to 1; null while nobody has decided. */
  coveredShare: z.number().nullable(),
  /** Places of unmoving, text-like marks inside what stays visible, for a person to look at. */
  stillMarks: z.array(box),
  /** Where a person has to decide: the sector as what alone could leave; null where none is sure enough to be offered. */
  fan: fanProposal.nullable().optional(),
  sentence: z.string(),
});

/**
 * Answer of `chordae analyse FILE --json`, one for each file. `schema` rises when a field changes its meaning; new fields
 * may come without.
 */
export const analysis = z.object({
  schema: z.literal(1),
  file: z.string(),
  sizeBytes: z.int(),
  sha256: z.string().nullable(),
  /** read: shown, or its numbers or members listed; refused: the reason is in `refused`. */
  outcome: z.enum(['read', 'refused']),
  what: z.enum(['clip', 'still', 'report', 'archive', 'nothing']),
  description: clipDescription.omit({ problems: true }).nullable(),
  /** Frames that were really decoded. */
  framesDecoded: z.int(),
  regions: z.array(analysedRegion),
  machine: machineSays.nullable(),
  mask: analysedMask.nullable(),
  report: machineReport.nullable(),
  /** Names of the files that an archive would give. */
  members: z.array(z.string()),
  problems: z.array(saidProblem),
  refused: saidProblem.nullable(),
  /** What is computed from the pictures themselves, where it was asked for: hints, developed on computed clips. */
  picture: z
    .object({
      assessment,
      /** Likeliest standard view by the small model; null where it is not sure enough. */
      suggestedView: viewId.nullable(),
    })
    .nullable()
    .optional(),
});
export type Analysis = z.infer<typeof analysis>;
