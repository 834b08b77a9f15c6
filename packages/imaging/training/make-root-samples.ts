import { writeFileSync } from 'node:fs';
import { rootJudgingSets, rootTrainingSets } from './root-recipe';
import { rootSamplesOf } from './root-samples';
import { patchBytes } from './samples';

/** Makes a stretch of a set of aortic roots: `make-root-samples SET FROM TO FILE`. */
const [name, from, to, file] = process.argv.slice(2);
const set = [...rootTrainingSets, ...rootJudgingSets].find((s) => s.name === name);
if (!set || file === undefined) throw new Error('make-root-samples SET FROM TO FILE');
const samples = Array.from({ length: Number(to) - Number(from) }, (_, n) =>
  rootSamplesOf(set, Number(from) + n),
).flat();
const patches = new Uint8Array(samples.length * patchBytes);
samples.forEach((sample, n) => {
  patches.set(sample.patch, n * patchBytes);
});
writeFileSync(`${file}.patches`, patches);
writeFileSync(`${file}.labels`, JSON.stringify(samples.map((sample) => sample.labels)));
