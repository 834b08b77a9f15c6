import { finderSize } from '../../src/learned/finder/network';
import type { JudgedMap } from './judge';
import type { FinderRecipe, FinderSet } from './recipe';

export interface JudgedFinderSet {
  readonly set: FinderSet;
  readonly maps: readonly (readonly JudgedMap[])[];
}

function row(name: string, list: readonly JudgedMap[]): string {
  const overlaps = list.map((j) => j.overlap).sort((a, b) => a - b);
  const at = (share: number): string => (overlaps[Math.floor(share * (overlaps.length - 1))] ?? 0).toFixed(3);
  const share = (of: (j: JudgedMap) => boolean): string => (list.filter(of).length / list.length).toFixed(3);
  return `| ${name} | ${list.length} | ${at(0.5)} / ${at(0.1)} | ${share((j) => j.overlap >= 0.85)} | ${share((j) => j.off < 0.5)} |`;
}

const head = `| clips | n | overlap, median / tenth | overlap 0.85 or more | middle within half a radius |
|---|---|---|---|---|`;

/** The model card, with the figures of this very training. */
export function finderCard(recipe: FinderRecipe, sets: readonly JudgedFinderSet[], hash: string): string {
  const { name, maps, trainingSets, judgingSets } = recipe;
  const seeds = (s: FinderSet): string =>
    `\`${s.family}\` seeds ${s.firstSeed} to ${s.firstSeed + s.count - 1}`;
  return `# Model card: finder of ${maps
    .map((m) => m.chamber)
    .filter((c, n, all) => all.indexOf(c) === n)
    .join(', ')} (\`${name}\`)

Written by the training program; figures are of the shipped, rounded numbers. A hint, never a finding by itself.

- **What it says**: for each place of a grid of 48 × 48 over the sector, how likely it belongs to: ${maps.map((m) => `${m.chamber} (${m.when})`).join(', ')}.
- **Input**: three centiles of brightness over time (20, 50, 80), and the depth of each place within the sector.
- **Form**: small network of 3 × 3 convolutions, down to 6 × 6 and up again; ${finderSize(maps.length)} numbers, weights of 8 bits; SHA-256 \`${hash}\`.
- **Made from**: computed phantoms of \`${recipe.view}\` only, no animal's picture, tilted up to ${recipe.maxTiltDeg} degrees; ${trainingSets.map(seeds).join(', ')}. ${recipe.epochs} rounds,
  batches of ${recipe.batch}, seed ${recipe.seed}; each time moved, turned, mirrored, resized and drawn with another grey curve, shading, haze, shadow and noise.
- **Judged on**: ${judgingSets.map(seeds).join(', ')}. No number was chosen on \`distant\`.
- **Made again by**: \`npx tsx packages/imaging/training/train-finder.ts ${name}\`.
- **Not for**: other views, horses, real patients without a reader's judgement. Real clips will be worse than every figure here.

${maps
  .map(
    (map, m) => `## ${map.chamber}, ${map.when}

${head}
${sets.map((s) => row(s.set.name, s.maps[m] ?? [])).join('\n')}
`,
  )
  .join('\n')}
## By disease, first map

${sets
  .map((s) => {
    const list = s.maps[0] ?? [];
    const hearts = [...new Set(list.map((j) => j.heart))].sort();
    return `### ${s.set.name}\n\n${head}\n${hearts
      .map((h) =>
        row(
          h,
          list.filter((j) => j.heart === h),
        ),
      )
      .join('\n')}`;
  })
  .join('\n\n')}
`;
}
