import type { SectorGeometry } from '@chordae/imaging';
import { detectSectorGeometry, expectedDepthCm, findDepthRuler, sectorMask } from '@chordae/imaging';
import type { PhantomWish } from '@chordae/phantom';
import { seededRandom } from '@chordae/phantom';
import type { Degraded } from './imaging-degraded';
import { degraded } from './imaging-degraded';
import type { Screen, ScreenKind } from './imaging-screens';
import { drawScreen, screenKinds } from './imaging-screens';
import { screenCine } from './imaging-sets';
import { centile, overlap, print, share, target, trueSector } from './imaging-statistics';

/**
 * Scores sector and ruler on seeded screens, scaled and JPEG-compressed: plain ones, and those of `imaging-screens.ts`. Seeds 1… are for
 * developing, 7001… are held back. Usage: tsx tests/bench/imaging-geometry.bench.ts [developing|held] [plain screens] [screens of each kind] [kind]
 */
const held = process.argv[2] !== 'developing';
const plainCount = Number(process.argv[3] ?? 120);
const kindCount = Number(process.argv[4] ?? 30);
const wanted = process.argv[5];
const seeds = (n: number): number[] => Array.from({ length: n }, (_, k) => (held ? 7001 : 1) + k);

interface Row {
  readonly seed: number;
  readonly iou: number;
  readonly shape: boolean;
  readonly confidence: number;
  readonly panels: number;
  /** Relative error of the pitch; null where no ruler stands or none was found. */
  readonly pitch: number | null;
  readonly rulerFound: boolean;
  readonly unit: boolean;
  readonly unitAlone: boolean;
}

function judged(
  seed: number,
  { frames, scale }: Degraded,
  wish: PhantomWish,
  truth: {
    readonly iouOf: (sector: SectorGeometry) => number;
    readonly shape: 'fan' | 'box';
    readonly pxPerTick: number | null;
    readonly tickCm: number | null;
  },
): Row {
  const sector = detectSectorGeometry(frames);
  const { species, weightKg, view } = wish;
  const alone = findDepthRuler(frames, sector);
  const expected = expectedDepthCm(species, weightKg, view);
  const helped = findDepthRuler(frames, sector, { expectedDepthCm: expected });
  const { pxPerTick, tickCm } = truth;
  return {
    seed,
    iou: truth.iouOf(sector),
    shape: sector.shape.startsWith('fan') === (truth.shape === 'fan'),
    confidence: sector.confidence,
    panels: 1 + sector.otherPanels.length,
    pitch:
      alone.pxPerTick === null || pxPerTick === null
        ? null
        : Math.abs(alone.pxPerTick / (pxPerTick * scale) - 1),
    rulerFound: alone.found,
    unit: helped.unitCandidates[0]?.tickCm === tickCm,
    unitAlone: alone.unitCandidates[0]?.tickCm === tickCm,
  };
}

async function plain(): Promise<void> {
  const rows: Row[] = [];
  for (const seed of seeds(plainCount)) {
    const cine = screenCine(seed, 'developing');
    const ruler = cine.truth.ruler;
    if (!ruler) throw new Error('a screen without ruler');
    const made = await degraded(cine.frames, 800, 600, seededRandom(seed + 5));
    const { widthPx, heightPx, scale } = made;
    const mask = trueSector(cine.fan, widthPx, heightPx, scale);
    const iouOf = (s: SectorGeometry): number => overlap(sectorMask(s, widthPx, heightPx), mask).iou;
    rows.push(judged(seed, made, cine.wish, { iouOf, shape: 'fan', ...ruler }));
  }
  print(`\nSector and ruler: ${rows.length} screens of 480 to 1,120 px, JPEG 30 to 95, four ruler styles`);
  sectors(rows);
  rulers(rows);
}

function sectors(rows: readonly Row[]): void {
  const ious = rows.map((r) => r.iou);
  target('sector IoU, median', centile(ious, 0.5), 0.985, 0.985);
  target(
    'sector IoU, share of 0.95 or more',
    share(ious, (v) => v >= 0.95),
    0.99,
    0.99,
  );
  target('sector IoU, smallest', Math.min(...ious), 0.95, 0.97);
  const wrong = rows.filter((r) => r.confidence >= 0.4 && (r.iou < 0.9 || !r.shape));
  print(
    `  confidently wrong (0.4 or more; IoU below 0.9 or another shape): ${wrong.length} of ${rows.length}${wrong.map((r) => ` ${r.seed}`).join('')}`,
  );
}

function rulers(rows: readonly Row[]): void {
  target(
    'ruler pitch within 1 %',
    share(rows, (r) => r.pitch !== null && r.pitch < 0.01),
    0.95,
    0.995,
  );
  target(
    'ruler unit with weight',
    share(rows, (r) => r.unit),
    0.97,
    0.995,
  );
  print(
    `  ruler unit without weight: ${share(rows, (r) => r.unitAlone).toFixed(3)}; wrong pitch or none: ${rows.flatMap((r) => (r.pitch !== null && r.pitch < 0.01 ? [] : [r.seed])).join(' ')}`,
  );
}

/** The true masks of a screen at another scale, by nearest pixel. */
function scaledMasks({ masks, picture }: Screen, { widthPx, heightPx, scale }: Degraded): Uint8Array[] {
  return masks.map((mask) =>
    Uint8Array.from({ length: widthPx * heightPx }, (_, n) => {
      const x = Math.min(picture.widthPx - 1, Math.floor(((n % widthPx) + 0.5) / scale));
      const y = Math.min(picture.heightPx - 1, Math.floor((Math.floor(n / widthPx) + 0.5) / scale));
      return mask[y * picture.widthPx + x] as number;
    }),
  );
}

async function ofKind(kind: ScreenKind): Promise<void> {
  const rows: Row[] = [];
  for (const seed of seeds(kindCount)) {
    const screen = drawScreen(kind, seed);
    const { frames, widthPx: w, heightPx: h } = screen.picture;
    const made = await degraded(frames, w, h, seededRandom(seed + 5));
    const masks = scaledMasks(screen, made);
    const iouOf = (s: SectorGeometry): number => {
      const own = sectorMask(s, made.widthPx, made.heightPx);
      return Math.max(...masks.map((mask) => overlap(own, mask).iou));
    };
    rows.push(judged(seed, made, screen.wish, { iouOf, ...screen }));
  }
  print(`\n${kind}: ${rows.length} screens`);
  sectors(rows);
  if (kind === 'edge-ruler' || kind === 'turned-ruler') rulers(rows);
  else if (kind !== 'refilmed') {
    const two = kind === 'linear-colour' ? 1 : 2;
    print(`  number of panels right: ${share(rows, (r) => r.panels === two).toFixed(3)}`);
    print(
      `  rulers found where none stands: ${rows.filter((r) => r.rulerFound).length} of ${rows.length}${rows.map((r) => (r.rulerFound ? ` ${r.seed}` : '')).join('')}`,
    );
  }
}

if (wanted === undefined || wanted === 'plain') await plain();
for (const kind of screenKinds) if (wanted === undefined || wanted === kind) await ofKind(kind);
