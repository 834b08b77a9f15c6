import { inflateRawSync } from 'node:zlib';
import {
  decodeBmp,
  decodePixels,
  decodeStream,
  decodeText,
  describeDicom,
  describeStill,
  encodeRle,
  isOwnStreamKind,
  isoMediaIsComplete,
  listZip,
  locateFrames,
  maskJpegBlocks,
  memorySource,
  openDicom,
  rawAviPixels,
  readAvi,
  readDirectory,
  readFrame,
  readIsoFilm,
  readJpegHead,
  recognise,
  streamKind,
  withHuffmanTables,
} from '@chordae/dicom';
import { readReport } from '@chordae/dicom/report';
import { readFrameList } from '../../packages/codecs/src/node/film/film-head';
import { readHeader } from '../../packages/codecs/src/node/film/film-header';
import { readJpeg2000Head } from '../../packages/codecs/src/node/jpeg-2000';
import { sampleFile, sampleFrame, sampleWidth } from '../../packages/codecs/src/node/sample-file';
import { sampleZip } from '../../packages/codecs/src/node/sample-zip';
import { madeDicom } from '../support/made-dicom';
import { madeLayout, madeLayouts } from '../support/made-layouts';
import { madeReport } from '../support/made-report';
import { shared } from './seeds';

export interface Target {
  readonly name: string;
  readonly seeds: readonly Uint8Array[];
  /** Must end with or without a result, and must not throw. */
  run(bytes: Uint8Array): Promise<unknown>;
}

const inflate = (bytes: Uint8Array, mostBytes: number): Uint8Array | null => {
  try {
    return new Uint8Array(inflateRawSync(bytes, { maxOutputLength: mostBytes }));
  } catch {
    return null;
  }
};

async function readDicom(bytes: Uint8Array): Promise<void> {
  recognise(bytes.subarray(0, 4096), bytes.length);
  const file = await describeDicom(memorySource(bytes), { inflate });
  if (!file.ok) return;
  // What asks for much memory is refused by the limits of the process, not here.
  if (file.value.layout.widthPx * file.value.layout.heightPx > 2_000_000) return;
  const places = await locateFrames(file.value);
  if (!places.ok) return;
  for (const pieces of places.value.frames.slice(0, 3)) {
    const frame = await readFrame(file.value.header.source, pieces);
    if (!frame.ok) return;
    const kind = streamKind(frame.value);
    if (isOwnStreamKind(kind)) decodeStream(frame.value, kind, file.value.layout);
    else if (file.value.header.coding !== 'stream') decodePixels(frame.value, file.value);
  }
}

async function readFilm(bytes: Uint8Array): Promise<void> {
  const avi = await readAvi(memorySource(bytes));
  if (!avi.ok || avi.value.widthPx * avi.value.heightPx > 2_000_000) return;
  for (const piece of avi.value.frames.slice(0, 3)) {
    const frame = bytes.subarray(piece.offset, piece.offset + piece.length);
    if (avi.value.coding === 'raw') rawAviPixels(frame, avi.value);
    else readJpegHead(withHuffmanTables(frame));
  }
}

const rle = sampleFile({
  coding: 'rle',
  frames: [encodeRle([sampleFrame(1)], sampleWidth), encodeRle([sampleFrame(2)], sampleWidth)],
  offsetTable: false,
});
const bmp = new Uint8Array(70);
bmp.set([0x42, 0x4d, 70, 0, 0, 0, 0, 0, 0, 0, 54, 0, 0, 0, 40, 0, 0, 0, 2, 0, 0, 0, 2, 0, 0, 0, 1, 0, 24, 0]);

/** Objects of every layout: windows, tables, palettes, planes. */
const layouts = madeLayouts.map((layout) => madeLayout(layout));

/** Names in several character sets, by hand from PS3.5 annexes H to K: the set, a line's end, the bytes. */
const texts = [
  '\\ISO 2022 IR 87\nYamada^Tarou=\u001b$B;3ED\u001b(B^\u001b$BB@O:\u001b(B',
  'ISO 2022 IR 13\\ISO 2022 IR 87\n\u00d4\u00cf\u00c0\u00de^\u00c0=\u001b$B;3ED\u001b(J',
  '\\ISO 2022 IR 149\nHong^Gildong=\u001b$)C\u00fb\u00f3^\u001b$)C\u00d1\u00ce',
  'ISO 2022 IR 100\\ISO 2022 IR 144\n\u00c4n\u001b-L\u00bb\u00ee\u001b$(D0"\u001b(B',
].map((text) => Uint8Array.from(text, (letter) => letter.charCodeAt(0)));

function readText(bytes: Uint8Array): string {
  const end = bytes.indexOf(10);
  const set = String.fromCharCode(...bytes.subarray(0, Math.max(0, Math.min(end, 200))));
  return decodeText(bytes.subarray(end + 1), set);
}

/** JPEG streams handed in by the program, since they are made by tools. */
export function targets(
  jpegs: readonly Uint8Array[],
  coded: readonly Uint8Array[],
  films: readonly Uint8Array[],
  isoFilms: readonly Uint8Array[],
): Target[] {
  const all: Target[] = [
    { name: 'dicom', seeds: [madeDicom(), rle, ...layouts, ...coded, ...shared(/\.dcm$/)], run: readDicom },
    { name: 'text', seeds: texts, run: (bytes) => Promise.resolve(readText(bytes)) },
    {
      name: 'report',
      seeds: [madeReport(), ...shared(/sr_tid.*\.dcm$/)],
      run: (bytes) => readReport(memorySource(bytes), { inflate }),
    },
    {
      name: 'directory',
      seeds: shared(/DICOMDIR/),
      run: async (bytes) => {
        const opened = await openDicom(memorySource(bytes), { inflate });
        return opened.ok ? readDirectory(opened.value.dataSet) : null;
      },
    },
    {
      name: 'jpeg-mask',
      seeds: jpegs,
      run: (bytes) => Promise.resolve(maskJpegBlocks(bytes, [{ x0: 8, y0: 8, x1: 40, y1: 40 }])),
    },
    {
      name: 'still-heads',
      seeds: [...jpegs, bmp],
      run: async (bytes) => {
        const bitmap = decodeBmp(bytes);
        readJpeg2000Head(bytes);
        await isoMediaIsComplete(memorySource(bytes));
        return [
          bitmap.ok,
          await describeStill(memorySource(bytes), 'jpeg'),
          await describeStill(memorySource(bytes), 'png'),
        ];
      },
    },
    { name: 'avi', seeds: [...films], run: readFilm },
    { name: 'iso', seeds: [...isoFilms], run: (bytes) => readIsoFilm(memorySource(bytes)) },
    {
      name: 'zip',
      seeds: [
        sampleZip([
          { name: 'a/b', bytes: madeDicom() },
          { name: 'c', bytes: bmp, stored: true },
        ]),
      ],
      run: (bytes) => listZip(memorySource(bytes)),
    },
    {
      name: 'probe',
      seeds: [
        Buffer.from(
          '{"streams":[{"codec_name":"h264","width":2,"height":2,"nb_frames":"3","tags":{"rotate":"90"}}]}',
        ),
      ],
      run: (bytes) => Promise.resolve(readHeader(Buffer.from(bytes).toString('latin1'))),
    },
    {
      name: 'frame-list',
      seeds: [
        Buffer.from('#dimensions 0: 64x48\n0, 0, 0, 40000, 4608, ab\n0, 40000, 40000, 40000, 4608, cd\n'),
      ],
      run: (bytes) => Promise.resolve(readFrameList(Buffer.from(bytes).toString('latin1'))),
    },
  ];
  return all.filter((target) => target.seeds.length > 0);
}
