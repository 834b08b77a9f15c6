import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { openOriginal } from '@chordae/codecs/node';
import { describe, expect, it } from 'vitest';
import { assessClip } from './assess/assess-clip';
import type { GrayFrame } from './gray-frame';

const folder = process.env['CHORDAE_SHARED_DATA'] ?? '';
const there = folder !== '' && existsSync(join(folder, 'MANIFEST.json'));

async function opened(name: string) {
  const original = await openOriginal(join(folder, name));
  if (!original.ok) throw new Error(`${name}: ${original.problem.code}`);
  const { description } = original.value;
  const frames: GrayFrame[] = [];
  for (let n = 0; n < description.frameCount; n += 1) {
    const picture = await original.value.picture(n);
    if (!picture.ok) throw new Error(`${name}: ${picture.problem.code}`);
    const { widthPx, heightPx, channels, pixels } = picture.value;
    const rgb = (at: number): number => pixels[at] as number;
    const luma =
      channels === 1
        ? pixels
        : Uint8Array.from(
            { length: widthPx * heightPx },
            (_, p) => (77 * rgb(3 * p) + 150 * rgb(3 * p + 1) + 29 * rgb(3 * p + 2) + 128) >> 8,
          );
    frames.push({ widthPx, heightPx, luma });
  }
  await original.value.close();
  return { description, frames };
}

// Open test files; without CHORDAE_SHARED_DATA they are not at hand and these tests are skipped.
describe.skipIf(!there)('real clips', () => {
  it('have their sector where the header says, and their rate from its R waves', async () => {
    const { description, frames } = await opened('derived/echo_colour_jpegbaseline_27f.dcm');
    const said = assessClip(frames, {
      frameTimesMs: description.frameTimesMs,
      rWaveTimesMs: description.rWaveTimesMs,
      pxPerCm: 36.7,
    });
    const region = description.regions[0];
    const { box } = said.sector;
    // Bounds of the header are inclusive pixels.
    for (const [found, told] of [
      [box.x0, region?.x0],
      [box.y0, region?.y0],
      [box.x1, (region?.x1 ?? 0) + 1],
      [box.y1, (region?.y1 ?? 0) + 1],
    ] as const)
      expect(Math.abs(found - (told ?? -99))).toBeLessThan(3);
    // Heart rate 57 in the header, 58 printed; one interval of 1,081.7 ms between the R waves is 55.5 a minute.
    expect(said.cycle.beatsPerMinute).toBeCloseTo(60_000 / (1130.031982421875 - 48.357666015625), 1);
  });

  it.each([
    ['derived/echo_colour_27f.mp4', ['FAN_MOVES_OUTSIDE', 'FAN_WIDE_OUTSIDE']],
    // Its sector is wrong, and looks half sure.
    ['us_mono_jpegls_1f.dcm', ['FAN_UNSURE', 'FAN_STILL']],
  ])('are not proposed as their sector alone beside an ECG, or as stills: %s', async (name, reasons) => {
    const { frames } = await opened(name);
    expect(assessClip(frames, { frameTimesMs: null, fanWanted: true }).fan).toMatchObject({
      proposed: false,
      reasons,
    });
  });

  it.each(['derived/echo_plax_10f_mjpeg.avi', 'us_palette_2regions_small_1f.dcm'])(
    'are not offered as their sector alone where that is unsure: %s',
    async (name) => {
      const { frames } = await opened(name);
      expect(assessClip(frames, { frameTimesMs: null, fanWanted: true }).fan).toBeNull();
    },
  );

  it('have the pitch of their ruler as the header calibrates it, with the unit left to a person', async () => {
    const { description, frames } = await opened('us_mono_uncompressed_27f.dcm');
    const said = assessClip(frames, { frameTimesMs: description.frameTimesMs });
    const perCm = 1 / (description.regions[0]?.deltaY ?? 1);
    expect(said.sector.shape).toBe('box');
    expect(Math.abs((said.ruler.pxPerTick ?? 0) / (perCm / 2) - 1)).toBeLessThan(0.005);
    expect(said.ruler.reasons).toContain('RULER_UNIT_TO_CONFIRM');
    expect(said.calibration.pxPerCm).toBeNull();
  });
});
