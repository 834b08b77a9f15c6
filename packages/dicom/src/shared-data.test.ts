import { createHash } from 'node:crypto';
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { inflateRawSync } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import type { DicomFile } from './describe';
import { describeDicom } from './describe';
import { locateFrames, readFrame } from './frames';
import { decodePixels, decodeStream } from './pixels';
import { recognise } from './recognise';
import type { Read } from './source';
import { memorySource } from './source';
import { streamKind } from './stream-kind';

const folder = process.env['CHORDAE_SHARED_DATA'] ?? '';
const there = folder !== '' && existsSync(join(folder, 'MANIFEST.json'));

const inflate = (bytes: Uint8Array): Uint8Array => new Uint8Array(inflateRawSync(bytes));

function bytesOf(name: string): Uint8Array {
  return new Uint8Array(readFileSync(join(folder, name)));
}

function describeFile(name: string): Promise<Read<DicomFile>> {
  return describeDicom(memorySource(bytesOf(name)));
}

/**
 * SHA-256 over all frames' 8-bit pixels. Each was found equal, sample by sample, to the output of DCMTK 3.6.7 (dcmdrle,
 * dcm2pnm, dcmdjpeg) or GDCM 3.0.21 (gdcmconv --apply-lut) by packages/codecs/hand/compare-with-toolkits.ts; palette16 to
 * GDCM alone (DCMTK refuses its segmented palette), planar1, the big endian colour files (planes) and the 16-bit RLE one
 * to DCMTK alone. us_mono_jpegls is reached by neither (both VRs are mixed in it): its stream, cut out by this reader,
 * was decoded by ffmpeg 5.1 (-c:v jpegls) to the same SHA-256.
 */
const pixelsOf: Readonly<Record<string, string>> = {
  'echo_plax_mr_ai_palette_rle_10f.dcm': 'ba26059215d83528d28829c060f9b07775e70e286d642b2ac307a9799330428f',
  'echo_rgb_implicit_8f.dcm': 'd368dcd1623aab61f2da76d4690a631537eb22f39d5fbdaf676c186fdc6ccef8',
  'us_mono_uncompressed_27f.dcm': 'e0516c90f89863941cd5ca067d42312e398173c9afd3240e2fa09adb2df67008',
  'us_oesoph_rgb_1f.dcm': '4631a14e915f1a7f27d30fb4cd2c4418e592a26008b61a29221641dc6e97c8b2',
  'us_oesoph_rgb_planar0_1f.dcm': '4631a14e915f1a7f27d30fb4cd2c4418e592a26008b61a29221641dc6e97c8b2',
  'us_oesoph_rgb_planar1_1f.dcm': '4631a14e915f1a7f27d30fb4cd2c4418e592a26008b61a29221641dc6e97c8b2',
  'us_palette16_3regions_implicit_1f.dcm': '97697b719ccd7c15c9cfbee12cb1285b2423b8bc3adf6bf45cb3858e4f0f3db4',
  'us_palette_bigendian_2frames.dcm': '7b43b70eef9406161dae9c89784c13534b0c43b4608b98203dfc2f9597f66daa',
  'us_epicardial_rgb_bigendian_1f.dcm': '8457b45fa7997df4e9d7350cc4d5e0b9ee83110b9f677ff08cf636893e540293',
  'us_epicardial_rgb_bigendian_small_1f.dcm':
    '1583c4339dd36e91dd2c30d278ef1ed95f3ea9a6de4401868d5712a76036ef2d',
  'us_jpegll_mono_1f.dcm': '36e27e4f1e87a7d50407463323ddc3736736ecff35eb4e4a4c1b74646938835d',
  'us_mono_jpegls_1f.dcm': 'be9f931da9650d6a51a8dcd139a99cb0064b722a6cc04e8ce07d679cc480ea32',
  'tricky/SC_rgb_rle_16bit_2frame.dcm': '026dac3bc332e46b5ddc4cda3d990ac5a423dad4cb4134262b1a7cc1f2106c6c',
  'tricky/image_dfl.dcm': '1f5f1b1c1a57606a55d7e4212ee2655c8205b45e264bd55057f7388c258deef8',
  'us_palette_2frames.dcm': '7b43b70eef9406161dae9c89784c13534b0c43b4608b98203dfc2f9597f66daa',
  'us_palette_2regions_small_1f.dcm': '322156a65198e9bee9b231c14fcb48d06306bea5d39e9f3c0b0befb037eb834f',
  'us_rgb_small_1f.dcm': 'a64f021b9093684b86aa47195ce0f9e3c1b8f1f4c6ce569f8a65b292bd52ec1d',
  'us_rgb_uncompressed_1f.dcm': 'e16892020c73095e42ff4cf7368de5206f11012e25feaed53cc2bc614602bb9a',
  'drawn/vet_us_2d_mmode_ecg_1f.dcm': '3309c34165e2287ccd11afbd9aa39be46a1914554cda6d80da354dc3c59ff546',
  'drawn/vet_us_2d_pw_doppler_1f.dcm': '1615a2379f90557aad4f5d572c247dd9bd84edbf87e8924f791037e08210908a',
  'tricky/GH1301.dcm': 'e589dea592493aff0c1ec16d8a0a662c3c6492048d2e0d060630ec9733821491',
  'tricky/chrGerm.dcm': 'e589dea592493aff0c1ec16d8a0a662c3c6492048d2e0d060630ec9733821491',
  'tricky/chrRuss.dcm': 'e589dea592493aff0c1ec16d8a0a662c3c6492048d2e0d060630ec9733821491',
  'tricky/chrX1.dcm': 'e589dea592493aff0c1ec16d8a0a662c3c6492048d2e0d060630ec9733821491',
  'tricky/SC_rgb_small_odd.dcm': 'ef2df252ba3cd066405c4dd121d0efea1341083ae2f676e1f4c844b5a4838cb8',
  'tricky/1403-OB.dcm': '0ce85afd94f337fa27f5188dbcd9b153cb36ef67f2a6b0070cf9c80eec76586f',
};

interface ManifestFile {
  readonly file: string;
  readonly rows: number;
  readonly columns: number;
  readonly frames: number;
  readonly frame_time_ms?: string;
  readonly regions: readonly Record<string, number>[] | null;
}

describe.skipIf(!there)('real files (CHORDAE_SHARED_DATA)', () => {
  it.each(there ? Object.entries(pixelsOf) : [])(
    'decodes %s to the pixels of the reference toolkits',
    async (name, sha256) => {
      const file = await describeDicom(memorySource(bytesOf(name)), { inflate });
      if (!file.ok) throw new Error(file.problem.code);
      const { header, layout } = file.value;
      const places = await locateFrames(file.value);
      if (!places.ok) throw new Error(places.problem.code);
      const hash = createHash('sha256');
      for (const pieces of places.value.frames) {
        const bytes = await readFrame(header.source, pieces);
        if (!bytes.ok) throw new Error(bytes.problem.code);
        const kind = streamKind(bytes.value);
        const picture =
          kind === 'jpeg-ls' || kind === 'jpeg-lossless'
            ? decodeStream(bytes.value, kind, layout)
            : decodePixels(bytes.value, file.value);
        if (!picture.ok) throw new Error(picture.problem.code);
        hash.update(picture.value.pixels);
      }
      expect(hash.digest('hex')).toBe(sha256);
    },
  );

  const manifest: readonly ManifestFile[] = there
    ? (JSON.parse(readFileSync(join(folder, 'MANIFEST.json'), 'utf8')) as { files: ManifestFile[] }).files
    : [];
  it.each(manifest.map((file) => [file.file, file] as const))(
    'reads the header of %s as the list says, or names what it is',
    async (name, wanted) => {
      const read = await describeFile(name);
      if (!read.ok) {
        throw new Error(read.problem.code);
      }
      const { description } = read.value;
      expect([description.heightPx, description.widthPx, description.frameCount]).toEqual([
        wanted.rows,
        wanted.columns,
        wanted.frames,
      ]);
      expect(description.regions).toHaveLength(wanted.regions?.length ?? 0);
      for (const [n, region] of description.regions.entries()) {
        expect(region.x0).toBe(wanted.regions?.[n]?.['RegionLocationMinX0']);
        expect(region.deltaX).toBeCloseTo(wanted.regions?.[n]?.['PhysicalDeltaX'] ?? Number.NaN, 12);
      }
      if (typeof wanted.frame_time_ms === 'string')
        expect(description.frameTimesMs?.[1]).toBeCloseTo(Number(wanted.frame_time_ms), 6);
    },
  );

  it('refuses calibrations that the picture contradicts (STANDARDS 1.8)', async () => {
    const why = async (name: string): Promise<(string | null)[]> => {
      const read = await describeFile(name);
      return read.ok
        ? read.value.description.regions
            .filter((region) => region.kind !== 'other')
            .map((region) => region.whyNot)
        : [];
    };
    expect(await why('us_jpegbaseline_ybr422_30f.dcm')).toEqual(['REGION_BEYOND_PICTURE']);
    expect(await why('us_palette_2regions_small_1f.dcm')).toEqual([
      'REGION_BEYOND_PICTURE',
      'REGION_BEYOND_PICTURE',
    ]);
    expect(await why('echo_rgb_implicit_8f.dcm')).toEqual(['REGION_SCALE_IMPLAUSIBLE']);
    expect(await why('us_palette_2frames.dcm')).toEqual([null, null]);
  });

  it('reads times, R waves and veterinary attributes of the drawn files (EXPECTED.json)', async () => {
    const read = await describeFile('drawn/vet_us_colour_jpeg_20f.dcm');
    if (!read.ok) throw new Error(read.problem.code);
    const { description, machine } = read.value;
    expect(description.timing).toBe('frame-time-vector');
    expect([0, 1, 2, 19].map((n) => description.frameTimesMs?.[n])).toEqual([0, 25, 60, 565]);
    expect((description.rWaveTimesMs[1] ?? 0) - (description.rWaveTimesMs[0] ?? 0)).toBeCloseTo(
      60_000 / 200,
      3,
    );
    expect(machine).toMatchObject({
      speciesText: 'Canis lupus familiaris',
      breedText: 'Doberman pinscher',
      weightKg: 32.5,
      sexText: 'M ALTERED',
    });
  });

  it('reads the R waves of the colour clip (48.36 and 1130.03 ms, STANDARDS 1.9)', async () => {
    const read = await describeFile('derived/echo_colour_jpegbaseline_27f.dcm');
    if (!read.ok) throw new Error(read.problem.code);
    expect(read.value.description.rWaveTimesMs[0]).toBeCloseTo(48.36, 1);
    expect(read.value.description.rWaveTimesMs[1]).toBeCloseTo(1130.03, 1);
  });

  it.each([
    ['chrGerm.dcm', 'Äneas Rüdiger'],
    ['chrRuss.dcm', 'Люкceмбypг'],
  ])('reads the name in tricky/%s', async (name, patientName) => {
    const read = await describeFile(`tricky/${name}`);
    expect(read.ok && read.value.machine.patientName).toBe(patientName);
  });

  it.each(there ? readdirSync(join(folder, 'tricky')) : [])(
    'ends within 2 s with a result or a problem on tricky/%s',
    { timeout: 2000 },
    async (name) => {
      const bytes = bytesOf(`tricky/${name}`);
      const format = recognise(bytes.subarray(0, 4096), bytes.length);
      if (!format.ok) return expect(format.problem.code).toMatch(/^[A-Z_]+$/);
      const source = memorySource(bytes);
      const file = await describeDicom(source);
      if (!file.ok) return expect(file.problem.code).toMatch(/^[A-Z_]+$/);
      const places = await locateFrames(file.value);
      expect(places.ok && places.value.frames.length).toBe(file.value.layout.frameCount);
    },
  );
});
