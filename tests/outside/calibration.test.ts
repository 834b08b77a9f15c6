import { existsSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { openOriginal } from '@chordae/codecs/node';
import type { ClipDescription, FramePoint } from '@chordae/contract';
import type { Measured } from '@chordae/measurement';
import {
  lengthMm,
  physicalPoint,
  ratePerMinute,
  regionAt,
  slopePerSecond,
  timeSpanMs,
  velocityCmS,
} from '@chordae/measurement';
import { describe, expect, it } from 'vitest';

/**
 * From the file to the number, against values from outside: calipers that stand in open pictures with the length that the
 * machine wrote beside them, and the list of expected values of the drawn files. Run where CHORDAE_SHARED_DATA is at hand.
 */
const shared = process.env['CHORDAE_SHARED_DATA'] ?? '';
const ready = existsSync(path.join(shared, 'drawn', 'EXPECTED.json'));

async function describeFile(name: string): Promise<ClipDescription> {
  const opened = await openOriginal(path.join(shared, name));
  if (!opened.ok) throw new Error(opened.problem.code);
  await opened.value.close();
  return opened.value.description;
}

function value<T>(measured: Measured<T>): T {
  if (!measured.ok) throw new Error(JSON.stringify(measured));
  return measured.value;
}

const point = ([x = 0, y = 0]: readonly number[]): FramePoint => ({ x, y });

describe.skipIf(!ready)(
  'lengths that the machine wrote beside its own calipers (CHORDAE_SHARED_DATA)',
  () => {
    it.each([
      ['us_jpegll_mono_1f.dcm', [629.5, 319.5], [689.5, 435.5], 33.27, 33],
      ['us_palette_2frames.dcm', [459.5, 290.5], [498.5, 301.5], 10.63, 10.6],
      ['us_palette_bigendian_2frames.dcm', [459.5, 290.5], [498.5, 301.5], 10.63, 10.6],
    ])('%s', async (file, from, to, computed, onScreen) => {
      const { regions } = await describeFile(file);
      const mm = value(lengthMm(regions, point(from), point(to)));
      expect(mm).toBeCloseTo(computed, 1);
      expect(Math.abs(mm - onScreen)).toBeLessThan(0.5);
    });
  },
);

interface Expected {
  readonly kind: string;
  readonly p?: readonly number[];
  readonly q?: readonly number[];
  readonly n?: readonly number[];
  readonly expect?: string | readonly number[];
  readonly [key: `expect_${string}`]: number;
}

const expected: Record<string, readonly Expected[]> = ready
  ? (JSON.parse(readFileSync(path.join(shared, 'drawn', 'EXPECTED.json'), 'utf8')) as Record<
      string,
      Expected[]
    >)
  : {};
const rows = Object.entries(expected).flatMap(([file, list]) =>
  list.map((row) => [file, row.kind, row] as const),
);

describe.skipIf(!ready)('expected values of the drawn files (CHORDAE_SHARED_DATA)', () => {
  it.each(rows)('%s: %s', async (file, kind, row) => {
    const d = await describeFile(`drawn/${file}`);
    const [p, q] = [point(row.p ?? []), point(row.q ?? [])];
    const by = (name: string): number =>
      (row as unknown as Record<string, number>)[`expect_${name}`] ?? Number.NaN;
    if (row.expect === 'refuse') expect(lengthMm(d.regions, p, q).ok).toBe(false);
    else if (kind === '2D distance') expect(value(lengthMm(d.regions, p, q))).toBeCloseTo(10 * by('cm'), 6);
    else if (/depth difference/.test(kind)) {
      const [a, b] = [value(physicalPoint(d.regions, p)), value(physicalPoint(d.regions, q))];
      expect(Math.abs(b.y - a.y)).toBeCloseTo(10 * by('cm'), 6);
    } else if (/time difference/.test(kind))
      expect(value(timeSpanMs(d.regions, p, q))).toBeCloseTo(1000 * by('s'), 6);
    else if (kind === 'heart rate from one interval')
      expect(value(ratePerMinute(value(timeSpanMs(d.regions, p, q))))).toBeCloseTo(by('bpm'), 6);
    else if (kind === 'M-mode slope')
      expect(Math.abs(value(slopePerSecond(d.regions, p, q)))).toBeCloseTo(by('cm_per_s'), 5);
    else if (kind === 'acceleration slope')
      expect(Math.abs(value(slopePerSecond(d.regions, p, q)))).toBeCloseTo(by('cm_per_s2'), 5);
    else if (kind.startsWith('velocity'))
      expect(value(velocityCmS(d.regions, p))).toBeCloseTo(by('cm_per_s'), 6);
    else if (/relative time/.test(kind)) {
      const wanted = row.expect as readonly number[];
      row.n?.forEach((n, at) => expect(d.frameTimesMs?.[n - 1]).toBeCloseTo(wanted[at] ?? Number.NaN, 6));
    } else if (/R-R/.test(kind)) {
      const [first = 0, second = 0] = d.rWaveTimesMs;
      expect(value(ratePerMinute(second - first))).toBeCloseTo(by('bpm'), 4);
    } else if (/overlap/.test(kind)) {
      // The colour region comes second in the file and has the higher priority.
      expect(regionAt(d.regions, p)).toBe(d.regions.find((region) => region.highPriority));
    } else throw new Error(`nobody checks this row: ${kind}`);
  });
});
