import type { LimitEntry } from '@chordae/interpretation';
import { indexUnit, scalingOf } from '@chordae/interpretation';
import { formatNumber, measurementNames, nameOf } from '@chordae/words';

export const ROLES: Record<LimitEntry['role'], string> = {
  grade: 'grades',
  stage: 'one criterion of a stage or outlook',
  comparison: 'shown for comparison, grades nothing',
  reference: 'checks whether a value is plausible, or kept for the library',
  'not-available': 'not available: no numbers could be read, nothing is graded by it',
};

export const STATUS: Record<LimitEntry['status'], string> = {
  primary: 'seen in the source itself',
  secondary: 'as quoted by others',
  memory: 'from memory, to be checked',
  'common practice': 'common practice, without a source',
};

/** The bounds as they were printed, in one line. */
export function boundsText(limit: LimitEntry): string {
  const { form } = limit;
  const unit = unitText(limit);
  const bare = plainBounds(limit);
  return form.kind === 'fixed' && !limit.bySex && (form.lower !== null || form.upper !== null)
    ? `${bare}${unit}`
    : bare;
}

/** The unit of an index behind its numbers; a ratio and a weight-normalised size stand without one. */
function unitText({ index }: LimitEntry): string {
  const unit = indexUnit(index);
  if (unit === 'ratio' || unit === 'count' || unit.includes('kg^')) return '';
  return ` ${unit.replace('/m2', '/m²').replace('cm2', 'cm²')}`;
}

function plainBounds({ form, bySex }: LimitEntry): string {
  if (bySex) {
    return Object.entries(bySex)
      .map(([sex, mm]) => `${sex}: up to ${mm} mm`)
      .join('; ');
  }
  if (form.kind === 'linear') return `upper bound = ${form.slope} × kg + ${form.intercept} mm`;
  if (form.kind === 'power')
    return `${form.lowerA} to ${form.upperA} × kg^${form.exponent} cm, middle ${form.meanA}`;
  const upper = form.upperIs === 'first-abnormal' ? `below ${form.upper}` : `up to ${form.upper}`;
  const lower = form.lowerIs === 'first-abnormal' ? `above ${form.lower}` : `from ${form.lower}`;
  if (form.lower !== null && form.upper !== null) return `${form.lower} to ${form.upper}`;
  if (form.upper !== null) return upper;
  return form.lower === null ? 'no bounds of its own' : lower;
}

/** The bands of a named scale: 'mild from 50; severe above 80'. */
export function gradesText({ grades }: LimitEntry): string | null {
  if (!grades) return null;
  return grades
    .map((g) => {
      const name = g.code.replace(/-/g, ' ');
      if (g.from !== undefined) return `${name} from ${g.from}`;
      if (g.above !== undefined) return `${name} above ${g.above}`;
      return g.upTo === undefined ? name : `${name} up to ${g.upTo}`;
    })
    .join('; ');
}

/** A limit over the body weight: the size in mm (or the index's own unit) at a weight; null where there is nothing to draw. */
export interface Curve {
  readonly unit: string;
  readonly what: string;
  readonly lower: ((kg: number) => number) | null;
  readonly upper: ((kg: number) => number) | null;
  readonly middle: ((kg: number) => number) | null;
  /** The bound does not move with the weight: drawn only where patients are drawn on it. */
  readonly flat?: boolean;
  /** From a patient's index value to what the picture shows. */
  readonly shown: (value: number, kg: number) => number;
}

/** How to draw a limit over the body weight. A weight-normalised index is drawn as the size behind it. */
export function curveOf(limit: LimitEntry): Curve | null {
  const { form, index } = limit;
  if (form.kind === 'power') {
    const at = (a: number) => (kg: number) => 10 * a * kg ** form.exponent;
    return {
      unit: 'mm',
      what: nameOf(index),
      lower: at(form.lowerA),
      upper: at(form.upperA),
      middle: at(form.meanA),
      shown: (value) => value,
    };
  }
  if (form.kind === 'linear') {
    return {
      unit: 'mm',
      what: nameOf(index),
      lower: null,
      upper: (kg) => form.slope * kg + form.intercept,
      middle: null,
      shown: (value) => value,
    };
  }
  const scaling = scalingOf(index);
  if (form.lower === null && form.upper === null) return null;
  if (!scaling) {
    const flat = (bound: number | null) => (bound === null ? null : () => bound);
    return {
      unit: unitText(limit).trim(),
      what: nameOf(index),
      lower: flat(form.lower),
      upper: flat(form.upper),
      middle: null,
      flat: true,
      shown: (value) => value,
    };
  }
  const factor = index.startsWith('lvid') ? 10 : 1;
  const size = (bound: number | null) =>
    bound === null ? null : (kg: number) => factor * bound * kg ** scaling.exponent;
  const mean = limit.ticks?.find((t) => t.code === 'mean')?.at ?? null;
  return {
    unit: factor === 10 ? 'mm' : '',
    what: measurementNames[scaling.from].short,
    lower: size(form.lower),
    upper: size(form.upper),
    middle: size(mean),
    shown: (value, kg) => factor * value * kg ** scaling.exponent,
  };
}

/** Weights drawn for a species, kg. */
export const WEIGHTS: Record<string, readonly [number, number]> = {
  dog: [2, 90],
  cat: [2, 10],
  horse: [100, 900],
};

/** A number on an axis. */
export function axisText(value: number): string {
  return formatNumber(value, value < 10 && value % 1 !== 0 ? 1 : 0);
}
