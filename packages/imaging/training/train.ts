import { mkdirSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { tiltOutputs } from '../src/learned/short-axis-tilt';
import { judged, scoreOf } from './judge';
import { learn } from './learn';
import { modelCard } from './model-card';
import { judgingSets, trainingSets } from './recipe';
import { loadSet } from './sets';
import { shipped } from './shipped';

/**
 * Trains the short-axis model and writes its numbers and its card: `npx tsx packages/imaging/training/train.ts [FOLDER [OUT]]`. Samples
 * are kept in FOLDER (a temporary one where not given) and taken again where they are there already.
 */
const folder = process.argv[2] ?? path.join(tmpdir(), 'short-axis-training');
const began = Date.now();
const say = (line: string): void =>
  void process.stdout.write(`${Math.round((Date.now() - began) / 1000)} s  ${line}\n`);
mkdirSync(folder, { recursive: true });
const sets = [];
for (const set of trainingSets) sets.push(await loadSet(set, folder));
const material = sets.map(({ patches, labels }) => ({
  patches,
  labels: labels.map((l) => [l.tiltDeg, l.septumFlat, l.rightToLeft]),
}));
say(`${sets.reduce((sum, s) => sum + s.labels.length, 0)} samples to learn from`);
const out = process.argv[3];
const here = import.meta.dirname;
const write = (trained: Float32Array) => {
  const made = shipped(trained, tiltOutputs);
  writeFileSync(path.join(out ?? path.join(here, '../src/learned'), 'short-axis-weights.ts'), made.module);
  return made;
};
const { numbers, hash } = write(await learn('tilt', material, say, write));
const results = [];
for (const set of judgingSets) {
  const loaded = await loadSet(set, folder);
  const rows = judged(loaded, numbers);
  results.push({ loaded, rows });
  const score = scoreOf(rows);
  say(
    `${set.name}: mean error ${score.meanErrorDeg.toFixed(2)} deg, AUC ${score.auc.toFixed(3)}, balanced ${score.balancedAccuracy.toFixed(3)}`,
  );
}
writeFileSync(path.join(out ?? here, 'MODEL-CARD.md'), modelCard(results, hash));
say(`numbers ${hash}`);
