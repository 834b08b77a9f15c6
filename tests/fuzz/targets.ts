import { inflateRawSync } from 'node:zlib';
import {
  decodeBmp,
  decodePixels,
  decodeStream,
  describeDicom,
  describeStill,
  encodeRle,
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
  readJpegHead,
  recognise,
  streamKind,
  withHuffmanTables,
} from '@chordae/dicom';
import { readReport } from '@chordae/dicom/report';
import { readProbe } from '../../packages/codecs/src/node/film/probe-json';
import { readJpeg2000Head } from '../../packages/codecs/src/node/jpeg-2000';
import { sampleFile, sampleFrame, sampleWidth } from '../../packages/codecs/src/node/sample-file';
import { sampleZip } from '../../packages/codecs/src/node/sample-zip';
import { madeDicom } from '../support/made-dicom';
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
    if (kind === 'jpeg-ls' || kind === 'jpeg-lossless') decodeStream(frame.value, kind, file.value.layout);
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

/** JPEG streams handed in by the program, since they are made by tools. */
export function targets(
  jpegs: readonly Uint8Array[],
  coded: readonly Uint8Array[],
  films: readonly Uint8Array[],
): Target[] {
  const all: Target[] = [
    { name: 'dicom', seeds: [madeDicom(), rle, ...coded, ...shared(/\.dcm$/)], run: readDicom },
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
          '{"streams":[{"codec_name":"h264","tags":{"rotate":"90"}}],"frames":[{"width":2,"height":2,"best_effort_timestamp_time":"0.1"}]}',
        ),
      ],
      run: (bytes) => Promise.resolve(readProbe(Buffer.from(bytes).toString('latin1'))),
    },
  ];
  return all.filter((target) => target.seeds.length > 0);
}
