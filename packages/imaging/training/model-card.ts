import { networkSize } from '../src/learned/network';
import { tiltOutputs } from '../src/learned/short-axis-tilt';
import type { Judged } from './judge';
import { judgedByAxisRatio, scoreOf } from './judge';
import { jitter, judgingSets, learning, trainingSets } from './recipe';
import type { Loaded } from './sets';

export interface JudgedSet {
  readonly loaded: Loaded;
  readonly rows: readonly Judged[];
}

function row(name: string, rows: readonly Judged[]): string {
  const s = scoreOf(rows);
  const one = (value: number): string => value.toFixed(1);
  const three = (value: number): string => value.toFixed(3);
  return `| ${name} | ${s.clips} | ${one(s.meanErrorDeg)} | ${one(s.medianErrorDeg)} / ${one(s.p90ErrorDeg)} | ${three(s.auc)} | ${three(s.balancedAccuracy)} (${s.sensitivity.toFixed(2)} / ${s.specificity.toFixed(2)}) |`;
}

const head = `| clips | n | mean error, deg | median / p90 | AUC | balanced accuracy at 20 deg (sens / spec) |
|---|---|---|---|---|---|`;

function byHeart(rows: readonly Judged[]): string {
  const hearts = [...new Set(rows.map((r) => r.heart))].sort();
  return hearts
    .map((heart) =>
      row(
        heart,
        rows.filter((r) => r.heart === heart),
      ),
    )
    .join('\n');
}

/** How often the model is wrong although it expects a small error. */
function confident(rows: readonly Judged[]): string {
  const sure = rows.filter((r) => r.errorDeg < 5);
  const swapped = sure.filter(
    (r) => (r.trueDeg < 15 && r.saidDeg > 25) || (r.trueDeg > 25 && r.saidDeg < 15),
  );
  return `${sure.length} of ${rows.length} with an expected error below 5 deg, ${swapped.length} of them with on and off axis exchanged`;
}

/** The model card, with the figures of this very training. */
export function modelCard(sets: readonly JudgedSet[], hash: string): string {
  return `# Model card: tilt of a short axis at papillary level

Written by the training program; figures are of the shipped, rounded numbers.

- **What it says**: tilt of the cut against the long axis of the left ventricle (degrees) with the size of error it expects, flatness of
  the septum, right ventricle against left. A hint beside the geometric method, never a finding by itself.
- **Input**: one frame at end diastole and one at end systole, 48 angles × 32 radii round the cavity's middle, to 2.6 mean radii.
- **Form**: three circular 3 × 3 convolutions, one hidden layer; ${networkSize(tiltOutputs)} numbers of 16 bits; SHA-256 \`${hash}\`.
- **Made from**: computed phantoms only, no animal's picture. ${trainingSets.map((s) => `\`${s.family}\` seeds ${s.firstSeed} to ${s.firstSeed + s.count - 1}`).join(', ')}, each seen ${trainingSets[0]?.views} times with the
  ventricle's place found a little wrongly. ${learning.epochs} rounds, batches of ${learning.batch}, seed ${learning.seed}.
- **Judged on**: ${judgingSets.map((s) => `\`${s.family}\` seeds ${s.firstSeed} to ${s.firstSeed + s.count - 1}`).join(', ')}. No number was chosen on \`distant\`.
- **Made again by**: \`npx tsx packages/imaging/training/train.ts\`.
- **Not for**: real patients without a reader's judgement; horses; levels other than papillary; clips in which the cavity was not found.
  Real clips will be worse than every figure here.
- **Knows its own doubt only where the cavity was found**: given a place beside the cavity (a tracer gone astray in thick walls, say) it
  answers wrongly by 20 to 30 degrees and still expects a small error. Its answer counts only with the tracer's own confidence.

## All clips, nothing excluded

The cavity's place carries the same error as in training (middle ± ${100 * jitter.middle} %, radius ± ${100 * jitter.radius} %, moments ± ${100 * jitter.phase} % of the beat).

${head}
${sets.map((s) => row(s.loaded.set.name, s.rows)).join('\n')}

For comparison, the cosine rule on the axis ratio of the *true* outline, which no tracer reaches:

${head}
${sets.map((s) => row(s.loaded.set.name, judgedByAxisRatio(s.loaded))).join('\n')}

## Confident and wrong

${sets.map((s) => `- ${s.loaded.set.name}: ${confident(s.rows)}.`).join('\n')}

## By disease

${sets.map((s) => `### ${s.loaded.set.name}\n\n${head}\n${byHeart(s.rows)}`).join('\n\n')}
`;
}
