import { writeFileSync } from 'node:fs';
import { patchBytes } from './samples';
import { viewJudgingSets, viewTrainingSets } from './view-recipe';
import { viewSampleOf } from './view-samples';

/** Makes a stretch of a set of views: `make-view-samples SET FROM TO FILE`, as make-samples does. */
const [name, from, to, file] = process.argv.slice(2);
const set = [...viewTrainingSets, ...viewJudgingSets].find((s) => s.name === name);
if (!set || file === undefined) throw new Error('make-view-samples SET FROM TO FILE');
const samples = Array.from({ length: Number(to) - Number(from) }, (_, n) =>
  viewSampleOf(set, Number(from) + n),
);
const patches = new Uint8Array(samples.length * patchBytes);
samples.forEach((sample, n) => {
  patches.set(sample.patch, n * patchBytes);
});
writeFileSync(`${file}.patches`, patches);
writeFileSync(`${file}.labels`, JSON.stringify(samples.map((sample) => sample.view)));
