import type { MeasurementCode, Species } from '@chordae/contract';
import type { CaseFacts } from '../case-facts';
import type { Index, IndexDraft } from '../indices';
import { finishIndex } from '../indices';
import { companions } from './companions';
import { diastole, outflow } from './doppler';
import { horse } from './horse';
import { atrium } from './left-atrium';
import { ventricleFunction, ventricleSizes } from './left-ventricle';
import type { Recipe } from './recipe';
import { draftOf } from './recipe';
import { rightHeart } from './right-heart';
import { thickestWall } from './thickest-wall';

const BEFORE_WALL = ventricleSizes;
const AFTER_WALL = [
  ...ventricleFunction,
  ...atrium,
  ...outflow,
  ...diastole,
  ...rightHeart,
  ...horse,
  ...companions,
];

/** Every recipe in the order in which indices are listed (the thickest wall of a cat comes after the sizes). */
export const recipes: readonly Recipe[] = [...BEFORE_WALL, ...AFTER_WALL];

const bySpecies = new Map<Species, { before: Recipe[]; after: Recipe[] }>();

/** The same recipe with every field in its place: engines read objects of one form several times faster. */
function evenly(r: Recipe): Recipe {
  const all: { [K in keyof Required<Recipe>]: Recipe[K] } = {
    code: r.code,
    name: r.name,
    kind: r.kind,
    unit: r.unit,
    species: r.species,
    from: r.from,
    inputs: r.inputs,
    formula: r.formula,
    cv: r.cv,
    on: r.on,
    when: r.when,
    cautions: r.cautions,
    gradable: r.gradable,
    usesWeight: r.usesWeight,
  };
  return all as Recipe;
}

function recipesOf(species: Species): { before: Recipe[]; after: Recipe[] } {
  let found = bySpecies.get(species);
  if (!found) {
    const own = (list: readonly Recipe[]): Recipe[] =>
      list.filter((r) => r.species.includes(species)).map(evenly);
    found = { before: own(BEFORE_WALL), after: own(AFTER_WALL) };
    bySpecies.set(species, found);
  }
  return found;
}

/** All indices that these measurements allow. */
export function indicesOf(facts: CaseFacts): Index[] {
  const found: Index[] = [];
  const take = (draft: IndexDraft | null): void => {
    if (draft) found.push(finishIndex(facts, draft));
  };
  const { before, after } = recipesOf(facts.species);
  for (const recipe of before) take(draftOf(recipe, facts));
  take(thickestWall(facts));
  for (const recipe of after) take(draftOf(recipe, facts));
  return found;
}

/** How an index scales with the body weight: `scalingOf('lviddn')` is { exponent: 0.294, from: 'lvidd' }; null when it does not. */
export function scalingOf(index: string): { exponent: number; from: MeasurementCode } | null {
  const recipe = recipes.find((r) => r.code === index);
  const from = recipe?.from[0];
  if (recipe?.formula.is !== 'per-kg' || from === undefined) return null;
  return { exponent: recipe.formula.exponent, from };
}

/** Unit of an index as it is written, 'mm' for sizes that have no recipe: `indexUnit('fs')` is '%'. */
export function indexUnit(index: string): string {
  return recipes.find((r) => r.code === index)?.unit ?? 'mm';
}
