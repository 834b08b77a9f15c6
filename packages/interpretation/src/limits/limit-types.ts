import type { Sex, SourceStatus, Species } from '@chordae/contract';

/** `last-normal`: the bound itself is still inside. `first-abnormal`: the bound itself is already outside. */
export type BoundIs = 'last-normal' | 'first-abnormal';

/** How a limit gets its numbers: as they stand, from a power of the body weight, or from a straight line over it. */
export type LimitForm =
  | { kind: 'fixed'; lower: number | null; upper: number | null; upperIs: BoundIs; lowerIs: BoundIs }
  /** Bound in cm = a · kg^exponent. */
  | {
      kind: 'power';
      lowerA: number;
      meanA: number;
      upperA: number;
      exponent: number;
      upperIs: BoundIs;
      lowerIs: BoundIs;
    }
  /** Upper bound in mm = slope · kg + intercept. */
  | { kind: 'linear'; slope: number; intercept: number; upperIs: BoundIs };

/** A grade: from a bound (itself included), above a bound (itself not included), or up to a bound (itself included). */
export interface GradeBand {
  code: string;
  from?: number;
  above?: number;
  upTo?: number;
}

/** A published bound as it stands in shared/limits. */
export interface LimitEntry {
  id: string;
  species: Species;
  /** Code of the index that this limit was made for: its formula, its view, its method. */
  index: string;
  form: LimitForm;
  /** `grade` may grade; `stage` is one criterion of a stage; `comparison` is shown; `reference` checks plausibility. */
  role: 'grade' | 'stage' | 'comparison' | 'reference' | 'not-available';
  /** For whom: any of the species, the general population (outlying breeds excepted), or the named breeds only. */
  scope: 'any' | 'general-dog' | 'general-cat' | 'breed';
  breeds?: string[];
  /** Upper bounds that differ by sex, mm. */
  bySex?: Partial<Record<Sex, number>>;
  /** Valid below this weight only, kg. */
  maxKgBelow?: number;
  chosenBecause: 'breed' | 'group' | 'weight' | 'fixed';
  scale?: string;
  grades?: GradeBand[];
  /** Below this value no grade of the scale is spoken. */
  gradeFrom?: number;
  ticks?: { at: number; code: string }[];
  population: string;
  citation: string;
  doi: string | null;
  status: SourceStatus;
  note: string;
}

/** Coefficient of variation between examinations, percent. */
export interface Repeatability {
  /** Code of an index, or of a family of quantities that share one value ('linear-lv', 'velocity', …). */
  index: string;
  species: Species;
  cvPercent: number;
  /** Where another operator scanned: the upper end of the published range. */
  betweenCvPercent?: number;
  citation: string;
  doi: string | null;
  status: SourceStatus;
}

/** Thresholds of the act-now rules, from memory, adjustable. Units are in the names. */
export interface ActNowThresholds {
  breathingRateAbove: number;
  smallDogKgBelow: number;
  dogLaAoFailureFrom: number;
  catLaAoFailureFrom: number;
  catLaAoVeryLargeFrom: number;
  catLaLongMmAbove: number;
  trGradientSevereAbove: number;
  dogRateAbove: number;
  dogRateBelow: number;
  catRateAbove: number;
  catRateBelow: number;
  aorticGradientAbove: number;
  pulmonicGradientAbove: number;
  youngMonthsBelow: number;
  smallLvIddNBelow: number;
  smallCatLvIddMmBelow: number;
}

export interface ScoreBand {
  from2: number;
  above3: number;
  above4?: number;
}

export interface MitralScore {
  schema: number;
  checkedOn: string;
  id: string;
  citation: string;
  doi: string | null;
  status: SourceStatus;
  population: string;
  maxKg: number;
  rounding: string;
  points: { 'la-ao': ScoreBand; lviddn: ScoreBand; fs: ScoreBand; 'mitral-e': ScoreBand };
  totals: { code: string; from: number }[];
}

export interface Breed {
  code: string;
  species: Species;
  name: string;
  groups: string[];
}
