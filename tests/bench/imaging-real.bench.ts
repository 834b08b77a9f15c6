import { existsSync, mkdirSync } from 'node:fs';
import path from 'node:path';
import { openOriginal } from '@chordae/codecs/node';
import type { Assessment } from '@chordae/contract';
import type { GrayFrame } from '@chordae/imaging';
import { assessClip } from '@chordae/imaging';
import { drawFound } from './imaging-overlay';
import { print } from './imaging-statistics';

/**
 * What sector, ruler and rate are found on open real clips, beside what their headers say: the table of the package's README anew,
 * and a picture of each with what was found drawn over it. Usage: CHORDAE_SHARED_DATA=FOLDER tsx tests/bench/imaging-real.bench.ts [folder for pictures] [part of a name]
 */
const data = process.env['CHORDAE_SHARED_DATA'] ?? '';

/** Open clips, with what their pictures print (read by eye), where they print it. */
const clips: readonly (readonly [file: string, printed: string])[] = [
  ['derived/echo_colour_jpegbaseline_27f.dcm', '58/min'],
  ['echo_plax_mr_ai_palette_rle_10f.dcm', 'depth 16 cm, 85/min'],
  ['us_jpegbaseline_ybr422_30f.dcm', 'depth 19 cm'],
  ['us_mono_uncompressed_27f.dcm', ''],
  ['us_mono_jpegls_1f.dcm', 'depth 14 cm'],
  ['us_epicardial_rgb_bigendian_1f.dcm', 'depth 16 cm'],
  ['us_epicardial_rgb_bigendian_small_1f.dcm', ''],
  ['us_palette_2frames.dcm', ''],
  ['us_palette_2regions_small_1f.dcm', ''],
  ['us_jpegll_mono_1f.dcm', ''],
  ['us_palette16_3regions_implicit_1f.dcm', ''],
  ['us_rgb_uncompressed_1f.dcm', ''],
  ['us_rgb_small_1f.dcm', ''],
  ['us_j2k_lossy_1f.dcm', ''],
  ['echo_rgb_implicit_8f.dcm', ''],
  ['echo_jpegbaseline_fragmented_8f.dcm', ''],
  ['us_oesoph_rgb_1f.dcm', ''],
  ['drawn/vet_us_2d_pw_doppler_1f.dcm', ''],
  ['drawn/vet_us_2d_mmode_ecg_1f.dcm', ''],
  ['drawn/vet_us_colour_jpeg_20f.dcm', ''],
];

interface Opened {
  readonly frames: readonly GrayFrame[];
  readonly header: string;
  readonly frameTimesMs: readonly number[] | null;
  readonly rWaveTimesMs: readonly number[];
}

/** Luma as everywhere in the project: (77 R + 150 G + 29 B + 128) >> 8. */
function lumaOf(pixels: Uint8Array, channels: number, count: number): Uint8Array {
  if (channels === 1) return pixels;
  const at = (n: number): number => pixels[n] as number;
  return Uint8Array.from(
    { length: count },
    (_, p) => (77 * at(3 * p) + 150 * at(3 * p + 1) + 29 * at(3 * p + 2) + 128) >> 8,
  );
}

async function opened(file: string): Promise<Opened | string> {
  const original = await openOriginal(path.join(data, file));
  if (!original.ok) return original.problem.code;
  const { description } = original.value;
  const frames: GrayFrame[] = [];
  for (let n = 0; n < description.frameCount; n += 1) {
    const picture = await original.value.picture(n);
    if (!picture.ok) return picture.problem.code;
    const { widthPx, heightPx, channels, pixels } = picture.value;
    frames.push({ widthPx, heightPx, luma: lumaOf(pixels, channels, widthPx * heightPx) });
  }
  await original.value.close();
  const regions = description.regions.map(
    (r) =>
      `${r.kind} ${r.x0},${r.y0} to ${r.x1},${r.y1}${r.unitY === 'cm' && r.deltaY > 0 ? ` ${(1 / r.deltaY).toFixed(2)} px/cm` : ''}`,
  );
  const { frameTimesMs, rWaveTimesMs } = description;
  return { frames, header: regions.join('; ') || 'no regions', frameTimesMs, rWaveTimesMs };
}

function said(a: Assessment): string[] {
  const { sector, ruler, cycle } = a;
  const { x0, y0, x1, y1 } = sector.box;
  const box = [x0, y0, x1, y1].map((v) => v.toFixed(0)).join(',');
  const units = ruler.unitCandidates.slice(0, 3).map((c) => `${c.tickCm} cm ${c.probability.toFixed(2)}`);
  return [
    `sector  ${sector.shape} ${box}, confidence ${sector.confidence.toFixed(2)} ${sector.reasons.join(' ')}`,
    ...sector.otherPanels.map(
      (p) => `panel   ${[p.x0, p.y0, p.x1, p.y1].map((v) => v.toFixed(0)).join(',')}`,
    ),
    ruler.found
      ? `ruler   ${ruler.pxPerTick?.toFixed(2)} px a tick, ${ruler.ticks} ticks, confidence ${ruler.confidence.toFixed(2)}, ${units.join(', ')}, depth ${ruler.unitCandidates[0]?.depthCm.toFixed(1)} cm ${ruler.reasons.join(' ')}`
      : 'ruler   none',
    `cycle   ${cycle.beatsPerMinute?.toFixed(1) ?? 'none'} ${cycle.reasons.join(' ')}`,
  ];
}

async function main(): Promise<void> {
  const folder = process.argv[2] ?? '';
  if (folder !== '') mkdirSync(folder, { recursive: true });
  for (const [file, printed] of clips) {
    if (process.argv[3] !== undefined && !file.includes(process.argv[3])) continue;
    if (!existsSync(path.join(data, file))) {
      print(`\n${file}: not there`);
      continue;
    }
    const clip = await opened(file);
    if (typeof clip === 'string') {
      print(`\n${file}: ${clip}`);
      continue;
    }
    const first = clip.frames[0];
    const assessment = assessClip(clip.frames, clip);
    print(`\n${file} ${first?.widthPx}x${first?.heightPx}, ${clip.frames.length} frames`);
    print(`  header  ${clip.header}${printed === '' ? '' : `; printed: ${printed}`}`);
    for (const line of said(assessment)) print(`  ${line}`);
    if (folder !== '' && first)
      await drawFound(path.join(folder, `${path.basename(file, '.dcm')}.png`), first, assessment);
  }
}

if (data === '') print('CHORDAE_SHARED_DATA is not set: no real clips to look at');
else await main();
