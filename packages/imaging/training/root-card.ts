import { networkSize, runNetwork } from '../src/learned/network';
import { levelled } from '../src/learned/polar-patch';
import type { LearnedRootTilt } from '../src/learned/root-tilt';
import { readRootOutputs, rootTiltOutputs } from '../src/learned/root-tilt';
import type { SampleSet } from './recipe';
import { rootJitter, rootLearning, rootTrainingSets } from './root-recipe';
import type { RootLabels } from './root-samples';
import { patchBytes } from './samples';

export interface JudgedRoot {
  readonly truth: RootLabels;
  readonly said: LearnedRootTilt;
}

/** What a network says of a set. */
export function judgedRoots(
  patches: Uint8Array,
  labels: readonly RootLabels[],
  numbers: Float64Array,
): JudgedRoot[] {
  const half = patchBytes / 2;
  return labels.map((truth, n) => {
    const from = n * patchBytes;
    const part = (at: number): Float64Array => Float64Array.from(patches.subarray(at, at + half));
    const input = levelled(part(from), part(from + half));
    return { truth, said: readRootOutputs(runNetwork(input, numbers, rootTiltOutputs)) };
  });
}

function row(name: string, rows: readonly JudgedRoot[]): string {
  const errors = rows.map(({ truth, said }) => Math.abs(truth.tiltDeg - said.tiltDeg)).sort((a, b) => a - b);
  const on = rows.filter(({ truth }) => truth.tiltDeg < 15);
  const off = rows.filter(({ truth }) => truth.tiltDeg > 25);
  const share = (list: readonly JudgedRoot[], holds: (r: JudgedRoot) => boolean): number =>
    list.filter(holds).length / Math.max(1, list.length);
  const sensitivity = share(off, ({ said }) => said.tiltDeg >= 25);
  const specificity = share(on, ({ said }) => said.tiltDeg < 25);
  const side = share(
    off.filter(({ truth }) => Math.abs(truth.leanRight) > 0.3),
    ({ truth, said }) => truth.leanRight * said.leanRight > 0,
  );
  const at = (part: number): string => (errors[Math.floor(part * (errors.length - 1))] ?? 0).toFixed(1);
  return `| ${name} | ${rows.length} | ${(errors.reduce((a, b) => a + b, 0) / errors.length).toFixed(1)} | ${at(0.5)} / ${at(0.9)} | ${((sensitivity + specificity) / 2).toFixed(3)} (${sensitivity.toFixed(2)} / ${specificity.toFixed(2)}) | ${side.toFixed(2)} |`;
}

const head = `| clips | n | mean error, deg | median / p90 | balanced accuracy at 25 deg (sens / spec) | side of the lean, above 25 deg |
|---|---|---|---|---|---|`;

/** The model card, with the figures of this very training. */
export function rootCard(
  sets: readonly { readonly set: SampleSet; readonly rows: readonly JudgedRoot[] }[],
  hash: string,
): string {
  const seeds = (s: SampleSet): string =>
    `\`${s.family}\` seeds ${s.firstSeed} to ${s.firstSeed + s.count - 1}`;
  return `# Model card: tilt of a short axis at the aortic valve

Written by the training program; figures are of the shipped, rounded numbers. A hint, never a finding by itself.

- **What it says**: tilt of the cut against one square to the aortic root (degrees), the size of error it expects, and where the cut leans.
- **Input**: what is dark once and what is bright once in the beat (centiles 25 and 75 over time), 48 angles × 32 radii round the root, to 3.4 radii.
- **Form**: as the short-axis model; ${networkSize(rootTiltOutputs)} numbers of 16 bits; SHA-256 \`${hash}\`.
- **Made from**: computed phantoms only, no animal's picture. ${rootTrainingSets.map(seeds).join(', ')}, each seen ${rootTrainingSets[0]?.views} times with the
  root's place found a little wrongly (middle ± ${Math.round(100 * rootJitter.middle)} %, radius ± ${Math.round(100 * rootJitter.radius)} %). ${rootLearning.epochs} rounds, batches of ${rootLearning.batch}, seed ${rootLearning.seed}.
- **Judged on**: ${sets.map(({ set }) => seeds(set)).join(', ')}. No number was chosen on \`distant\`.
- **Made again by**: \`npx tsx packages/imaging/training/train-root.ts\`.
- **Not for**: real patients without a reader's judgement; horses; other levels; clips in which the root was not found. Real clips will be worse.

${head}
${sets.map(({ set, rows }) => row(set.name, rows)).join('\n')}

${sets
  .map(({ set, rows }) => {
    const hearts = [...new Set(rows.map((r) => r.truth.heart))].sort();
    return `## ${set.name}\n\n${head}\n${hearts
      .map((h) =>
        row(
          h,
          rows.filter((r) => r.truth.heart === h),
        ),
      )
      .join('\n')}`;
  })
  .join('\n\n')}
`;
}
