import { z } from 'zod';
import { assessmentSummary } from './assessment-summary';
import { keepOutline } from './fan-proposal';
import { id, moment } from './ids';
import { canonicalUnit, measurementCode } from './measurement-codes';
import { viewId } from './terms';

/** A calibrated rectangle of the picture (DICOM PS3.3 C.8.5.5), bounds inclusive, in pixels of the whole picture. */
export const region = z.object({
  x0: z.int(),
  y0: z.int(),
  x1: z.int(),
  y1: z.int(),
  /** What it is, from spatial format and data type. */
  kind: z.enum(['2d', 'm-mode', 'spectral', 'trace', 'other']),
  /** Unit of one step per pixel: cm, s, cm/s, or none. */
  unitX: z.enum(['cm', 's', 'cm/s', 'hz', 'none']),
  unitY: z.enum(['cm', 's', 'cm/s', 'hz', 'none']),
  deltaX: z.number(),
  deltaY: z.number(),
  referenceX: z.number().nullable(),
  referenceY: z.number().nullable(),
  referenceValueX: z.number().nullable(),
  referenceValueY: z.number().nullable(),
  highPriority: z.boolean(),
  protectedScale: z.boolean(),
  /** false: the numbers contradict the picture, so nothing may be measured on them; the reason is a problem code. */
  usable: z.boolean(),
  whyNot: z.string().nullable(),
});
export type Region = z.infer<typeof region>;

/** What the file itself says about the patient and the moment. Stays with the practice. */
export const machineSays = z.object({
  patientName: z.string().nullable(),
  patientNumber: z.string().nullable(),
  speciesText: z.string().nullable(),
  breedText: z.string().nullable(),
  sexText: z.string().nullable(),
  birthDate: z.string().nullable(),
  weightKg: z.number().nullable(),
  scannedOn: z.string().nullable(),
  localTime: z.string().nullable(),
  heartRate: z.number().nullable(),
  manufacturer: z.string().nullable(),
  model: z.string().nullable(),
  probe: z.string().nullable(),
  /** UID of the picture (0008,0018), by which a machine's report names it. */
  instanceUid: z.string().nullish(),
});
export type MachineSays = z.infer<typeof machineSays>;

export const problem = z.object({
  code: z.string(),
  data: z.record(z.string(), z.union([z.string(), z.number()])),
});
export type Problem = z.infer<typeof problem>;

/** Result of reading one original. */
export const clipDescription = z.object({
  format: z.enum([
    'dicom',
    'jpeg',
    'png',
    'webp',
    'tiff',
    'bmp',
    'gif',
    'heic',
    'avif',
    'pdf',
    'avi',
    'mp4',
    'mov',
    'wmv',
    'mpeg',
    'matroska',
  ]),
  transferSyntax: z.string().nullable(),
  kind: z.enum(['clip', 'still']),
  widthPx: z.int(),
  heightPx: z.int(),
  frameCount: z.int(),
  /** Start of each frame in ms from the first; null where the file does not say (then 'not for timing'). */
  frameTimesMs: z.array(z.number()).nullable(),
  /** Where the times come from; only the first two may be measured on. 'film': as the film plays, which may be slowed. */
  timing: z.enum([
    'frame-time-vector',
    'frame-time',
    'recommended-rate',
    'cine-rate',
    'film',
    'unknown',
    'still',
  ]),
  rWaveTimesMs: z.array(z.number()),
  regions: z.array(region),
  problems: z.array(problem),
  /** Places in what is visible that look like unmoving text: for the sender to look at. Absent in older clips. */
  stillMarks: z.array(z.object({ x0: z.int(), y0: z.int(), x1: z.int(), y1: z.int() })).optional(),
});
export type ClipDescription = z.infer<typeof clipDescription>;

export const box = z.object({ x0: z.int(), y0: z.int(), x1: z.int(), y1: z.int() });
export type Box = z.infer<typeof box>;

/** A visible rectangle, of which only what lies within `outline`, where there is one; and places that are covered all the same. */
export const keepBox = box.extend({
  outline: keepOutline.optional(),
  cover: z.array(box).max(64).optional(),
});
export type KeepBox = z.infer<typeof keepBox>;

/**
 * How the outgoing pack was masked: by the file's own regions, a drawn box, the sector that was found and that its sender
 * agreed to, or a person's word that no name is there.
 */
export const maskState = z.enum(['regions', 'box', 'fan', 'no-name-confirmed', 'needs-decision']);
export type MaskState = z.infer<typeof maskState>;

export const clipRecord = z.object({
  id,
  scanId: id,
  number: z.int(),
  description: clipDescription,
  view: viewId.nullable(),
  viewJudged: z.enum(['received', 'adequate', 'doubtful', 'not-possible']),
  viewWhy: z.string().nullable(),
  mask: maskState,
  /** Area that stays visible in what leaves; null = all of it. */
  keepBox: keepBox.nullable(),
  /** What the pictures themselves say, without outlines; null until they were looked at. A hint, never a judgement. */
  assessment: assessmentSummary.nullable(),
  packBytes: z.int(),
  /** Why the reading group does not get it yet, e.g. 'identity-differs'; null = nothing holds it. */
  held: z.string().nullable(),
  createdAt: moment,
  /** Only for the practice. */
  fileName: z.string().nullable(),
  machine: machineSays.nullable(),
});
export type ClipRecord = z.infer<typeof clipRecord>;

/** One number of a machine's own report. */
export const machineMeasurement = z.object({
  /** Which of our measurements it is; null: not known for certain, so it is shown and never taken over. */
  code: measurementCode.nullable(),
  /** The machine's name for it, and its code with the scheme's letters. */
  name: z.string(),
  concept: z.string(),
  written: z.string(),
  unitWritten: z.string(),
  /** In the canonical unit of `code`; null with it. */
  value: z.number().nullable(),
  unit: canonicalUnit.nullable(),
  method: z.enum(['2d', 'm-mode', 'doppler', 'other']).nullable(),
  view: viewId.nullable(),
  /** Several single values of one kind are counted from 1; null for one alone and for an average. */
  beat: z.int().nullable(),
  averaged: z.boolean(),
  /** The machine's user marked it as the one to use. */
  chosen: z.boolean(),
  /** What stands beside it in the machine's words: site, mode, view, flow, phase, method. */
  says: z.array(z.string()),
  /** The picture it was measured on, by UID, and the frame from 1. */
  imageUid: z.string().nullable(),
  frame: z.int().nullable(),
});
export type MachineMeasurement = z.infer<typeof machineMeasurement>;

/** A structured report that a machine wrote. Stays with the practice. */
export const machineReport = z.object({
  title: z.string(),
  madeOn: z.string().nullable(),
  complete: z.boolean(),
  measurements: z.array(machineMeasurement),
});
export type MachineReport = z.infer<typeof machineReport>;

export const arrivalRecord = z.object({
  id,
  referralId: id,
  fileName: z.string(),
  sizeBytes: z.int(),
  receivedBytes: z.int(),
  state: z.enum(['expected', 'arriving', 'arrived', 'read', 'unreadable', 'duplicate']),
  problem: problem.nullable(),
  clipId: id.nullable(),
  /** For a machine's report: its numbers. */
  report: machineReport.nullable(),
});
export type ArrivalRecord = z.infer<typeof arrivalRecord>;
