import { mkdirSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { finderNumbers } from '../src/learned/finder/numbers';
import { finderCard } from './finder/card';
import { judgedMaps } from './finder/judge';
import type { FinderName, FinderRecipe, FinderSet } from './finder/recipe';
import { finderRecipes } from './finder/recipe';
import type { FinderLabels } from './finder/samples';
import { finderModule, shippedFinder } from './finder/shipped';
import { shippedNumbers } from './finder/shipped-numbers';
import { learn } from './learn';
import { loadStretches } from './sets';

/**
 * Trains a finder and writes its numbers and its card: `npx tsx packages/imaging/training/train-finder.ts cavity|root|chambers [FOLDER
 * [OUT]]`. Samples are kept in FOLDER (a temporary one where not given) and taken again where they are there already. With a last word
 * `judge` only the card is written again, for the numbers that are shipped.
 */
const name = process.argv[2] as FinderName;
const recipe: FinderRecipe | undefined = finderRecipes[name];
if (!recipe) throw new Error('train-finder cavity|root|chambers [FOLDER [OUT]]');
const folder = process.argv[3] ?? path.join(tmpdir(), 'finder-training');
const began = Date.now();
const say = (line: string): void =>
  void process.stdout.write(`${Math.round((Date.now() - began) / 1000)} s  ${line}\n`);
mkdirSync(folder, { recursive: true });
const load = async (set: FinderSet) => {
  const { patches, labels } = await loadStretches('make-finder-samples', set.name, set.count, folder, 250);
  return { set, patches, labels: labels as FinderLabels[] };
};
const onlyJudged = process.argv.at(-1) === 'judge';
const here = import.meta.dirname;
const out = onlyJudged ? undefined : process.argv[4];
const write = (numbers: Float32Array) => {
  const finder = shippedFinder(numbers, recipe.maps.length);
  const folderOfNumbers = out ?? path.join(here, '../src/learned/finder');
  writeFileSync(path.join(folderOfNumbers, `${name}-numbers.ts`), finderModule(name, finder));
  return finder;
};
async function trained() {
  if (!recipe) throw new Error('no recipe');
  const material = [];
  for (const set of recipe.trainingSets) material.push({ ...(await load(set)), labels: [] });
  say('samples made');
  return write(await learn(name, material, say, write));
}
const shipped = onlyJudged ? shippedNumbers(name) : await trained();
const results = [];
for (const set of recipe.judgingSets) {
  const { patches, labels } = await load(set);
  results.push({ set, maps: judgedMaps(recipe, patches, labels, finderNumbers(shipped)) });
}
const card = finderCard(recipe, results, shipped.hash);
writeFileSync(path.join(out ?? here, `${name.toUpperCase()}-FINDER-CARD.md`), card);
say(card);
