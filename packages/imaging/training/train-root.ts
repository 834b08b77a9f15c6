import { mkdirSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { rootTiltOutputs } from '../src/learned/root-tilt';
import { learn } from './learn';
import type { SampleSet } from './recipe';
import { judgedRoots, rootCard } from './root-card';
import { rootJudgingSets, rootTrainingSets } from './root-recipe';
import type { RootLabels } from './root-samples';
import { loadStretches } from './sets';
import { shipped } from './shipped';

/**
 * Trains the tilt of the aortic root and writes its numbers and its card: `npx tsx packages/imaging/training/train-root.ts [FOLDER
 * [OUT]]`. Samples are kept in FOLDER (a temporary one where not given) and taken again where they are there already.
 */
const folder = process.argv[2] ?? path.join(tmpdir(), 'root-training');
const began = Date.now();
const say = (line: string): void =>
  void process.stdout.write(`${Math.round((Date.now() - began) / 1000)} s  ${line}\n`);
mkdirSync(folder, { recursive: true });
const load = async (set: SampleSet) => {
  const { patches, labels } = await loadStretches('make-root-samples', set.name, set.count, folder, 250);
  return { set, patches, labels: labels as RootLabels[] };
};
const material = [];
for (const set of rootTrainingSets) {
  const { patches, labels } = await load(set);
  material.push({ patches, labels: labels.map((l) => [l.tiltDeg, l.leanRight, l.leanDown]) });
}
say(`${material.reduce((sum, m) => sum + m.labels.length, 0)} samples to learn from`);
const here = import.meta.dirname;
const out = process.argv[3];
const write = (trained: Float32Array) => {
  const made = shipped(trained, rootTiltOutputs, 'root');
  writeFileSync(path.join(out ?? path.join(here, '../src/learned'), 'root-weights.ts'), made.module);
  return made;
};
const { numbers, hash } = write(await learn('rootTilt', material, say, write));
const results = [];
for (const set of rootJudgingSets) {
  const { patches, labels } = await load(set);
  results.push({ set, rows: judgedRoots(patches, labels, numbers) });
}
const card = rootCard(results, hash);
writeFileSync(path.join(out ?? here, 'ROOT-TILT-CARD.md'), card);
say(card);
