import { existsSync, mkdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import type {
  PhantomClip,
  PhantomFamily,
  PhantomTruth,
  PhantomWish,
  RandomCineOptions,
} from '@chordae/phantom';
import { randomCine, renderCine, rulerStyles, seededRandom } from '@chordae/phantom';

/** Fixed seeded sets of phantoms; drawn once into a temporary folder, since drawing takes longer than judging. */
export interface BenchCine {
  readonly seed: number;
  readonly family: PhantomFamily;
  readonly wish: PhantomWish;
  readonly fan: PhantomClip['fan'];
  readonly truth: PhantomTruth;
  readonly frames: readonly Uint8Array[];
  readonly widthPx: number;
  readonly heightPx: number;
}

/** Raised whenever the phantom's pictures change, so that old drawings are not judged. */
const drawingVersion = 2;
const folder = path.join(
  process.env['CHORDAE_BENCH_CACHE'] ?? os.tmpdir(),
  `chordae-phantoms-${drawingVersion}`,
);

const plainJson = (_key: string, value: unknown): unknown =>
  value instanceof Float64Array ? Array.from(value, (v) => Math.round(v * 1000) / 1000) : value;

/** One cine, from the folder or drawn now. `adjust` changes the wish before drawing and must be named by `kind`. */
export function benchCine(
  kind: string,
  seed: number,
  family: PhantomFamily,
  options: RandomCineOptions = {},
  adjust: (wish: PhantomWish) => PhantomWish = (wish) => wish,
): BenchCine {
  const name = path.join(folder, `${kind}-${family}-${seed}`);
  if (!existsSync(`${name}.raw`)) draw(name, adjust(randomCine(seed, family, options)), seed);
  const head = JSON.parse(readFileSync(`${name}.json`, 'utf8')) as Pick<BenchCine, 'wish' | 'fan' | 'truth'>;
  const raw = new Uint8Array(readFileSync(`${name}.raw`));
  const { widthPx, heightPx } = head.fan;
  const count = raw.length / (widthPx * heightPx);
  const frames = Array.from({ length: count }, (_, n) =>
    raw.subarray(n * widthPx * heightPx, (n + 1) * widthPx * heightPx),
  );
  return { seed, family, ...head, frames, widthPx, heightPx };
}

function draw(name: string, wish: PhantomWish, seed: number): void {
  mkdirSync(folder, { recursive: true });
  const clip = renderCine(wish, seed);
  writeFileSync(`${name}.json`, JSON.stringify({ wish, fan: clip.fan, truth: clip.truth }, plainJson));
  // Renamed when whole: two programs may draw at once.
  const part = `${name}.${process.pid}.part`;
  writeFileSync(part, Buffer.concat(clip.frames));
  renameSync(part, `${name}.raw`);
}

/** Short axis at papillary level, 256 by 192, 1.35 beats, tilt 0 to 42 degrees. */
export const axisCine = (seed: number, family: PhantomFamily): BenchCine => benchCine('axis', seed, family);

/** Short axis at the aortic valve, 256 by 192, tilt 0 to 45 degrees. */
export const rootCine = (seed: number, family: PhantomFamily): BenchCine =>
  benchCine('root', seed, family, { view: 'rps-short-aortic', maxTiltDeg: 45 });

/** Right parasternal long axis, 256 by 192, tilted up to 35 degrees; each second one turned about the depth, which cuts the apex off. */
export const longAxisCine = (seed: number, family: PhantomFamily): BenchCine =>
  benchCine('long-axis', seed, family, { view: 'rps-long-4ch', maxTiltDeg: 35, beats: 1.2 }, (wish) => ({
    ...wish,
    tiltAzimuthDeg: seed % 2 === 0 ? 0 : wish.tiltAzimuthDeg,
  }));

/** A whole screen with text, grey bar and a ruler of some style: few frames, 800 by 600, for sector and ruler. */
export function screenCine(seed: number, family: PhantomFamily): BenchCine {
  const random = seededRandom(seed * 31 + 7);
  const view = (['rps-short-papillary', 'rps-long-4ch', 'rps-short-aortic', 'lap-4ch'] as const)[
    Math.floor(random() * 4)
  ] as PhantomWish['view'];
  const ruler = rulerStyles[Math.floor(random() * rulerStyles.length)] as (typeof rulerStyles)[number];
  const tickCm = random() < 0.6 ? 1 : 0.5;
  const majorEvery = tickCm === 1 ? 5 : ([2, 10, 0][Math.floor(random() * 3)] as number);
  const furniture = {
    ruler,
    rulerSide: random() < 0.7 ? ('right' as const) : ('left' as const),
    tickCm,
    majorEvery,
    numbers: random() < 0.6,
  };
  const words = { patientLine: 'TESTDOG 4711', secondLine: '12.03.2026 PRACTICE', viewLine: 'CARDIO' };
  return benchCine('screen', seed, family, { view, widthPx: 800, heightPx: 600 }, (wish) => ({
    ...wish,
    frameCount: 6,
    words,
    furniture,
    mirrored: false,
  }));
}

/** A long clip as machines export it: 90 frames of 800 by 600. */
export const longCine = (seed: number): BenchCine =>
  benchCine('long', seed, 'developing', { widthPx: 800, heightPx: 600 }, (wish) => ({
    ...wish,
    frameCount: 90,
  }));
