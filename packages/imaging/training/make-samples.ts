import { writeFileSync } from 'node:fs';
import { judgingSets, trainingSets } from './recipe';
import { patchBytes, samplesOf } from './samples';

/**
 * Makes a stretch of a set: `make-samples SET FROM TO FILE` writes FILE.patches (bytes) and FILE.labels (JSON). One process a
 * stretch, so that several cores can be used; the bytes do not depend on how the set is cut.
 */
const [name, from, to, file] = process.argv.slice(2);
const set = [...trainingSets, ...judgingSets].find((s) => s.name === name);
if (!set || file === undefined) throw new Error('make-samples SET FROM TO FILE');
const samples = Array.from({ length: Number(to) - Number(from) }, (_, n) =>
  samplesOf(set, Number(from) + n),
).flat();
const patches = new Uint8Array(samples.length * patchBytes);
samples.forEach((sample, n) => {
  patches.set(sample.patch, n * patchBytes);
});
writeFileSync(`${file}.patches`, patches);
writeFileSync(`${file}.labels`, JSON.stringify(samples.map((sample) => sample.labels)));
