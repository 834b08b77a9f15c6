import type { MeasurementCode, Species, ViewId } from '@chordae/contract';
import { exactPow } from '@chordae/units';
import type { CaseFacts } from '../case-facts';
import { isSound, reading } from '../case-facts';
import type { Caution, IndexDraft } from '../indices';
import type { Powers } from '../powers';
import { powerOf } from '../powers';
import type { Reading } from '../readings';
import type { Shape } from '../shape';
import { shapeInterval, shapeValue } from '../shape';
import type { IndexKind } from '../state-at-scan';
import { measurementCv, relativeInterval, repeatability } from '../uncertainty';
import { arithmeticOf } from './arithmetic';

/** How an index is made of its measurements, in words of arithmetic. */
export type Formula =
  | { is: 'as-measured' }
  | { is: 'ratio'; by?: number }
  | { is: 'ratio-square'; by: number }
  /** 100 · (first − second) / first */
  | { is: 'less' }
  | { is: 'gradient' }
  | { is: 'gradient-less' }
  | { is: 'flows' }
  | { is: 'teichholz' }
  /** by · value / kg^exponent */
  | { is: 'per-kg'; exponent: number; by: number }
  /** value / (0.101 · kg^(2/3)) */
  | { is: 'per-surface' }
  /** by · value · (500 / kg)^exponent */
  | { is: 'to-500-kg'; exponent: number; by: number };

/** One index: from which measurements, by which formula, in which species, and what to be careful about. */
export interface Recipe {
  code: string;
  /** As written in its line of arithmetic. */
  name: string;
  kind: IndexKind;
  unit: string;
  species: readonly Species[];
  from: readonly MeasurementCode[];
  /** Names of the inputs in the line of arithmetic, where they differ from the index's own. */
  inputs?: readonly string[];
  formula: Formula;
  /** Key of a published repeatability of the index itself; without one the inputs' are propagated. */
  cv?: string;
  /** Only readings on this view count for the named quantity. */
  on?: Partial<Record<MeasurementCode, ViewId>>;
  /** false: not computed for this case. */
  when?: (facts: CaseFacts, readings: readonly Reading[]) => boolean;
  cautions?: (facts: CaseFacts, readings: readonly Reading[]) => Caution[];
  /** false: shown, never graded. */
  gradable?: (facts: CaseFacts, readings: readonly Reading[]) => boolean;
  /** The plain size of a dog is judged for its weight as well. */
  usesWeight?: (facts: CaseFacts) => boolean;
}

/** Body surface of a dog in m²: 0.101 · kg^(2/3) (Meeh form, K 10.1, exponent 2/3). `dogSurfaceM2(10)` is 0.4688. */
export function dogSurfaceM2(kg: number): number {
  return 0.101 * exactPow(kg, 2 / 3);
}

const NEEDS_WEIGHT: ReadonlySet<Formula['is']> = new Set(['per-kg', 'per-surface', 'to-500-kg']);

/** true when a formula scales by the body weight. */
export function needsWeight(formula: Formula): boolean {
  return NEEDS_WEIGHT.has(formula.is);
}

/** Shapes that are the same for every animal. */
const AS_MEASURED: Shape = { kind: 'proportional', by: 1 };
const PLAIN_RATIO: Shape = { kind: 'ratio', by: 1 };
const LESS: Shape = { kind: 'less' };
const SQUARE: Shape = { kind: 'square' };
const SQUARE_LESS: Shape = { kind: 'square-less' };
const FLOWS: Shape = { kind: 'flows' };
const TEICHHOLZ: Shape = { kind: 'teichholz' };

/** The formula for an animal of this weight; null where it needs a weight and none is known. */
export function shapeOf(formula: Formula, kg: number | null, powers: Powers): Shape | null {
  switch (formula.is) {
    case 'as-measured':
      return AS_MEASURED;
    case 'ratio':
      return formula.by === undefined ? PLAIN_RATIO : { kind: 'ratio', by: formula.by };
    case 'ratio-square':
      return { kind: 'ratio-square', by: formula.by };
    case 'less':
      return LESS;
    case 'gradient':
      return SQUARE;
    case 'gradient-less':
      return SQUARE_LESS;
    case 'flows':
      return FLOWS;
    case 'teichholz':
      return TEICHHOLZ;
    case 'per-kg':
      return kg === null
        ? null
        : { kind: 'proportional', by: formula.by / powerOf(powers, kg, formula.exponent) };
    case 'per-surface':
      return kg === null ? null : { kind: 'proportional', by: 1 / (0.101 * powerOf(powers, kg, 2 / 3)) };
    case 'to-500-kg':
      return kg === null
        ? null
        : { kind: 'proportional', by: formula.by * exactPow(500 / kg, formula.exponent) };
  }
}

function readingFor(facts: CaseFacts, recipe: Recipe, code: MeasurementCode): Reading | null {
  const view = recipe.on?.[code];
  if (view === undefined) return reading(facts, code);
  const all = facts.readings.get(code) ?? [];
  return all.find((r) => r.view === view && isSound(facts, r)) ?? null;
}

function readingsFor(facts: CaseFacts, recipe: Recipe): Reading[] | null {
  const found: Reading[] = [];
  for (const code of recipe.from) {
    const one = readingFor(facts, recipe, code);
    if (one === null) return null;
    found.push(one);
  }
  return found;
}

/** Values of the single beats: only where every input has the same number of them, more than one. */
function beatsOf(shape: Shape, readings: readonly Reading[]): number[] {
  const first = readings[0] as Reading;
  const single = readings.length === 1;
  if (single && shape.kind === 'proportional')
    return shape.by === 1 ? first.beats : first.beats.map((b) => shape.by * b);
  if (!single && (first.beats.length < 2 || readings.some((r) => r.beats.length !== first.beats.length)))
    return [];
  const beats: number[] = [];
  const ofBeat: number[] = [];
  for (let i = 0; i < first.beats.length; i += 1) {
    for (let n = 0; n < readings.length; n += 1) ofBeat[n] = (readings[n] as Reading).beats[i] as number;
    const value = shapeValue(shape, ofBeat);
    if (value !== null) beats.push(value);
  }
  return beats.length === first.beats.length ? beats : [];
}

function intervalOf(
  facts: CaseFacts,
  recipe: Recipe,
  shape: Shape,
  value: number,
  values: readonly number[],
): [number, number] | null {
  if (recipe.cv !== undefined) {
    const own = repeatability(facts.species, recipe.cv);
    if (own) return relativeInterval(value, own.cvPercent);
  }
  return shapeInterval(shape, values, inputCvs(recipe, facts.species));
}

const cvsBySpecies = new Map<Species, Map<Recipe, (number | null)[]>>();

/** Coefficients of variation of a recipe's inputs, percent, looked up once a species. */
function inputCvs(recipe: Recipe, species: Species): (number | null)[] {
  let ofSpecies = cvsBySpecies.get(species);
  if (!ofSpecies) {
    ofSpecies = new Map();
    cvsBySpecies.set(species, ofSpecies);
  }
  let cvs = ofSpecies.get(recipe);
  if (!cvs) {
    cvs = recipe.from.map((code) => measurementCv(species, code));
    ofSpecies.set(recipe, cvs);
  }
  return cvs;
}

const NO_CAUTIONS: readonly Caution[] = [];

/** Computes one index of a case of the recipe's species; null where an input or the weight is not there for it. */
export function draftOf(recipe: Recipe, facts: CaseFacts): IndexDraft | null {
  const readings = readingsFor(facts, recipe);
  if (readings === null || recipe.when?.(facts, readings) === false) return null;
  const shape = shapeOf(recipe.formula, facts.kg, facts.tables.powers);
  if (shape === null) return null;
  const values = readings.map((r) => r.value);
  const value = shapeValue(shape, values);
  if (value === null) return null;
  return {
    code: recipe.code,
    kind: recipe.kind,
    value,
    unit: recipe.unit,
    readings,
    shape,
    beats: beatsOf(shape, readings),
    arithmetic: arithmeticOf(recipe, readings, value, facts),
    interval: intervalOf(facts, recipe, shape, value, values),
    usesWeight: needsWeight(recipe.formula) || recipe.usesWeight?.(facts) === true,
    cautions: recipe.cautions?.(facts, readings) ?? NO_CAUTIONS,
    gradable: recipe.gradable?.(facts, readings) ?? true,
  };
}
