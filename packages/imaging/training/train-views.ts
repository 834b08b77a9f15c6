import { writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { suggestedViews } from '../src/learned/view-suggestion';
import type { ViewScore } from './judge-view';
import { scoreViews } from './judge-view';
import { learn } from './learn';
import { loadStretches } from './sets';
import { shipped } from './shipped';
import { viewCard } from './view-card';
import type { ViewSet } from './view-recipe';
import { viewJudgingSets, viewTrainingSets } from './view-recipe';

/** Trains the suggestion of views and writes its numbers and its card: `npx tsx packages/imaging/training/train-views.ts [FOLDER [OUT]]`. */
const folder = process.argv[2] ?? path.join(tmpdir(), 'short-axis-training');
const say = (line: string): void => void process.stdout.write(`${line}\n`);
const load = async (set: ViewSet) => {
  const count = set.perView * suggestedViews.length;
  const { patches, labels } = await loadStretches('make-view-samples', set.name, count, folder);
  return { patches, views: labels as number[] };
};
const sets = [];
for (const set of viewTrainingSets) sets.push(await load(set));
const { numbers, module, hash } = shipped(
  await learn(
    'view',
    sets.map(({ patches, views }) => ({ patches, labels: views.map((view) => [view]) })),
    say,
  ),
  suggestedViews.length,
  'view',
);
const scores: { set: ViewSet; score: ViewScore }[] = [];
for (const set of viewJudgingSets) {
  const { patches, views } = await load(set);
  const score = scoreViews(patches, views, numbers);
  scores.push({ set, score });
  say(
    `${set.name}: macro-F1 ${score.macroF1.toFixed(3)}, of those said ${score.macroF1Said.toFixed(3)}, abstained ${(100 * score.abstained).toFixed(0)} %`,
  );
}
const out = process.argv[3];
const here = import.meta.dirname;
writeFileSync(
  out ? path.join(out, 'view-weights.ts') : path.join(here, '../src/learned/view-weights.ts'),
  module,
);
writeFileSync(path.join(out ?? here, 'VIEW-MODEL-CARD.md'), viewCard(scores, hash));
say(`numbers ${hash}`);
