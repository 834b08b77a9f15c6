import type { CanonicalUnit, MeasurementCode, ViewId } from '@chordae/contract';

/** A coded concept: scheme designator (LN, SCT, DCM …), value, and the meaning that was written beside it. */
export interface Concept {
  readonly scheme: string;
  readonly code: string;
  readonly meaning: string;
}

export type Method = '2d' | 'm-mode' | 'doppler' | 'other';

/** What must stand beside a concept that says too little alone; code values, of which one is enough. */
export interface Needs {
  readonly sites?: readonly string[];
  readonly flows?: readonly string[];
  readonly methods?: readonly string[];
  readonly views?: readonly string[];
}

export interface CodedMeasurement extends Concept {
  readonly measurement: MeasurementCode;
  /** CID of the context group that lists the concept. */
  readonly group: number;
  /** What the code itself says of how it was measured. */
  readonly method?: Method;
  readonly needs?: Needs;
}

export interface CodeMap {
  readonly measurements: readonly CodedMeasurement[];
  readonly modes: readonly (Concept & { readonly group: number; readonly method: Method })[];
  readonly views: readonly (Concept & { readonly group: number; readonly view: ViewId })[];
  /** Codes of SNOMED-RT (schemes SRT, SNM3, 99SDM) and what they became. */
  readonly twins: readonly { readonly srt: string; readonly sct: string; readonly meaning: string }[];
  /** To the canonical unit by multiplication. */
  readonly units: readonly { readonly ucum: string; readonly unit: CanonicalUnit; readonly factor: number }[];
  /** Codes that mark a value as made from several. */
  readonly averages: readonly string[];
}
