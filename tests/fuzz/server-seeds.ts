import { encodeJpeg } from '@chordae/codecs/node';
import { encodeRle, type WrittenElement, writePart10 } from '@chordae/dicom';
import {
  deepHeight,
  deepWidth,
  jpeg12,
  jpeg12Colour,
  jpeg2000Of12,
  jpegLs,
  lossless,
} from '../../packages/codecs/src/node/sample-deep-streams';
import {
  sampleFile,
  sampleFrame,
  sampleHeight,
  sampleWidth,
} from '../../packages/codecs/src/node/sample-file';
import {
  heicSample,
  htj2kSample,
  sampleStreamHeight,
  sampleStreamWidth,
} from '../../packages/codecs/src/node/sample-streams';
import { sampleZip } from '../../packages/codecs/src/node/sample-zip';
import { madeDicom } from '../support/made-dicom';
import { madeLayout, madeLayouts } from '../support/made-layouts';
import { madeReport } from '../support/made-report';
import { mutate } from './mutate';
import { codedDicom, moreCodedDicom, seedAvis, seedFilms, seedJpegs, seedStills, shared } from './seeds';

/** Whole files by what they are. */
export type Seeds = readonly (readonly [kind: string, files: readonly Uint8Array[]])[];

export async function serverSeeds(): Promise<Seeds> {
  const jpegs = await seedJpegs();
  const baseline = await encodeJpeg({
    widthPx: sampleWidth,
    heightPx: sampleHeight,
    channels: 1,
    pixels: sampleFrame(1),
  });
  const rle = [1, 2].map((n) => encodeRle([sampleFrame(n)], sampleWidth));
  const dicom = [
    madeDicom(),
    madeDicom({ withRegion: false, frames: 1 }),
    sampleFile({ coding: 'rle', frames: rle, offsetTable: false }),
    sampleFile({ coding: 'rle', frames: rle, offsetTable: true }),
    sampleFile({ coding: 'jpeg', frames: [baseline, baseline] }),
  ];
  const all: [string, Uint8Array[]][] = [
    ['dicom', dicom],
    ['dicom-coded', [...codedDicom(), ...moreCodedDicom()]],
    ['dicom-open', shared(/^(derived|drawn|tricky|[^/]*)\/?[^/]*\.dcm$/, 330_000)],
    ['directory', shared(/DICOMDIR/)],
    ['report', [madeReport(), ...shared(/sr_tid.*\.dcm$/)]],
    ['avi', [...seedAvis(), ...shared(/\.avi$/, 400_000)]],
    ['film', [...seedFilms(), ...shared(/10f\.mp4$/, 200_000)]],
    ['still', [...jpegs, ...(await seedStills()), bitmap(), heicSample]],
    ['deep', deepFiles],
    ['layout', [...madeLayouts.map((layout) => madeLayout(layout)), htj2k]],
  ];
  return all.filter(([, files]) => files.length > 0);
}

/** HTJ2K in DICOM. */
const htj2k = writePart10(
  [
    { tag: '00080016', vr: 'UI', value: '1.2.840.10008.5.1.4.1.1.6.1' },
    { tag: '00080018', vr: 'UI', value: '2.25.41' },
    { tag: '00280002', vr: 'US', value: [1] },
    { tag: '00280004', vr: 'CS', value: 'MONOCHROME2' },
    { tag: '00280010', vr: 'US', value: [sampleStreamHeight] },
    { tag: '00280011', vr: 'US', value: [sampleStreamWidth] },
    { tag: '00280100', vr: 'US', value: [8] },
    { tag: '00280101', vr: 'US', value: [8] },
  ],
  { coding: 'stream', transferSyntax: '1.2.840.10008.1.2.4.201', frames: [htj2kSample] },
);

const overlay: WrittenElement[] = [
  { tag: '60000010', vr: 'US', value: [deepHeight] },
  { tag: '60000011', vr: 'US', value: [deepWidth] },
  { tag: '60000040', vr: 'CS', value: 'G' },
  { tag: '60000100', vr: 'US', value: [1] },
  { tag: '60000102', vr: 'US', value: [0] },
  { tag: '60003000', vr: 'OW', value: new Uint8Array((deepWidth * deepHeight) / 8).fill(0x55) },
];

/** Streams of 12 bits under headers of 12 and of 8, with an overlay. */
const deepFiles = [12, 8].flatMap((bits) =>
  (
    [
      ['51', jpeg12, 1],
      ['51', jpeg12Colour, 3],
      ['70', lossless, 1],
      ['80', jpegLs, 1],
      ['90', jpeg2000Of12, 1],
    ] as const
  ).map(([uid, stream, samples]) =>
    writePart10(
      [
        { tag: '00080016', vr: 'UI', value: '1.2.840.10008.5.1.4.1.1.7' },
        { tag: '00080018', vr: 'UI', value: '2.25.79' },
        { tag: '00280002', vr: 'US', value: [samples] },
        { tag: '00280004', vr: 'CS', value: samples === 3 ? 'YBR_FULL' : 'MONOCHROME2' },
        { tag: '00280010', vr: 'US', value: [deepHeight] },
        { tag: '00280011', vr: 'US', value: [deepWidth] },
        { tag: '00280100', vr: 'US', value: [bits > 8 ? 16 : 8] },
        { tag: '00280101', vr: 'US', value: [bits] },
        ...overlay,
      ],
      { coding: 'stream', transferSyntax: `1.2.840.10008.1.2.4.${uid}`, frames: [stream] },
    ),
  ),
);

/** A BMP of two by two pixels. */
function bitmap(): Uint8Array {
  const out = new Uint8Array(70);
  out.set([0x42, 0x4d, 70, 0, 0, 0, 0, 0, 0, 0, 54, 0, 0, 0, 40, 0, 0, 0, 2, 0, 0, 0, 2, 0, 0, 0, 1, 0, 24]);
  return out;
}

type Below = (n: number) => number;
const one = <T>(from: readonly T[], below: Below): T => from[below(from.length)] as T;

/** One changed file: half of the time only its first 2 KB, where headers are; a tenth of the files are archives. */
export function changedFile(
  seeds: Seeds,
  below: Below,
): { readonly kind: string; readonly bytes: Uint8Array } {
  if (below(10) === 0) return { kind: 'zip', bytes: changedZip(seeds, below) };
  const [kind, files] = one(seeds, below);
  return { kind, bytes: changed(one(files, below), one(files, below), below) };
}

/** One file in ten may be cut; the others are changed in one to four places and keep their end. */
function changed(file: Uint8Array, other: Uint8Array, below: Below): Uint8Array {
  const how = { most: 4, cuts: below(10) === 0 };
  if (file.length <= 2048 || below(2) === 0) return mutate(file, other, below, how);
  const head = mutate(file.subarray(0, 2048), other.subarray(0, 2048), below, how);
  const out = new Uint8Array(head.length + file.length - 2048);
  out.set(head);
  out.set(file.subarray(2048), head.length);
  return out;
}

/** Up to three changed files in a whole archive, or whole files in a changed one. */
function changedZip(seeds: Seeds, below: Below): Uint8Array {
  const whole = below(2) === 0;
  const members = Array.from({ length: 1 + below(3) }, (_, n) => {
    const file = one(one(seeds, below)[1], below);
    return { name: `f${n}`, bytes: whole ? changed(file, file, below) : file, stored: below(2) === 0 };
  });
  const zip = sampleZip(members);
  return whole ? zip : changed(zip, zip, below);
}
