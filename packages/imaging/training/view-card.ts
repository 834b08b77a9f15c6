import { networkSize } from '../src/learned/network';
import { leastShare, suggestedViews } from '../src/learned/view-suggestion';
import type { ViewScore } from './judge-view';
import type { ViewSet } from './view-recipe';
import { viewErrors, viewJudgingSets, viewLearning, viewTrainingSets } from './view-recipe';

interface Scored {
  readonly set: ViewSet;
  readonly score: ViewScore;
}

const seeds = (set: ViewSet): string =>
  `\`${set.family}\` from seed ${set.firstSeed}, ${set.perView} of each view`;

function confusionTable({ score }: Scored): string {
  const names = suggestedViews.map((view) => view.replace(/^rps-/, ''));
  const head = `| true \\ said | ${names.join(' | ')} | nothing |\n|${'---|'.repeat(names.length + 2)}`;
  const rows = score.confusion.map(
    (row, n) => `| ${names[n]} | ${row.map((c) => (c === 0 ? '' : c)).join(' | ')} |`,
  );
  return `${head}\n${rows.join('\n')}`;
}

/** The card of the view suggestion, with the figures of this very training. */
export function viewCard(scores: readonly Scored[], hash: string): string {
  const lines = scores.map(
    ({ set, score }) =>
      `| ${set.name.replace('views ', '')} | ${score.clips} | ${score.macroF1.toFixed(3)} | ${score.macroF1Said.toFixed(3)} | ${(100 * score.abstained).toFixed(1)} % |`,
  );
  return `# Model card: which standard view is this

Written by the training program; figures are of the shipped, rounded numbers. Always a suggestion, to be confirmed by a person.

- **Input**: mean picture of a clip and what moves in it, 48 places across the sector × 32 down it. The sector must be known.
- **Says**: one of ${suggestedViews.length} views, or nothing where the likeliest has a share below ${leastShare}.
- **Form**: as the short-axis model; ${networkSize(suggestedViews.length)} numbers of 16 bits; SHA-256 \`${hash}\`.
- **Made from**: computed phantoms only. ${viewTrainingSets.map(seeds).join('; ')}; tilted up to ${viewErrors.tiltDeg} degrees out of the view's own
  plane, levels shifted by up to ${viewErrors.level} of the half length; every tenth mirrored. ${viewLearning.epochs} rounds, seed ${viewLearning.seed}.
- **Judged on**: ${viewJudgingSets.map(seeds).join('; ')}. Sets were fixed before the first training; no number was chosen on \`distant\`.
- **Does not know**: colour, Doppler and M-mode pictures, horses, the sweep for fluid, anything that is no heart view.
- **Made again by**: \`npx tsx packages/imaging/training/train-views.ts\`.

| clips | n | macro-F1 (nothing said counts as missed) | macro-F1 of those said | nothing said |
|---|---|---|---|---|
${lines.join('\n')}

${scores.map((scored) => `## ${scored.set.name.replace('views ', '')}\n\n${confusionTable(scored)}`).join('\n\n')}
`;
}
