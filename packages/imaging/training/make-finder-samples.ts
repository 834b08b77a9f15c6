import { writeFileSync } from 'node:fs';
import type { FinderRecipe } from './finder/recipe';
import { finderRecipes } from './finder/recipe';
import { finderSampleBytes, finderSampleOf } from './finder/samples';

/** Makes a stretch of a finder's set: `make-finder-samples SET FROM TO FILE` writes FILE.patches (bytes) and FILE.labels (JSON). */
const [name, from, to, file] = process.argv.slice(2);
const recipes: readonly FinderRecipe[] = Object.values(finderRecipes);
const recipe = recipes.find((r) => [...r.trainingSets, ...r.judgingSets].some((s) => s.name === name));
const set = recipe && [...recipe.trainingSets, ...recipe.judgingSets].find((s) => s.name === name);
if (!recipe || !set || file === undefined) throw new Error('make-finder-samples SET FROM TO FILE');
const count = Number(to) - Number(from);
const size = finderSampleBytes(recipe);
const bytes = new Uint8Array(count * size);
const labels = Array.from({ length: count }, (_, n) => {
  const sample = finderSampleOf(recipe, set, Number(from) + n);
  bytes.set(sample.bytes, n * size);
  return sample.labels;
});
writeFileSync(`${file}.patches`, bytes);
writeFileSync(`${file}.labels`, JSON.stringify(labels));
