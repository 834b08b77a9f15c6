import type { ByteSource, Read } from './source';
import { refuse } from './source';

/** One coded picture of a film. */
export interface IsoSample {
  readonly offset: number;
  readonly length: number;
  /** When it is shown, ms from the first picture shown. */
  readonly timeMs: number;
  readonly isKey: boolean;
}

/** The pictures of an MP4 or MOV file (ISO/IEC 14496-12), in the order in which they are decoded. */
export interface IsoFilm {
  /** Four letters of the sample entry, such as avc1. */
  readonly codec: string;
  /** Body of the decoder's configuration box (avcC); empty where there is none. */
  readonly configuration: Uint8Array;
  readonly widthPx: number;
  readonly heightPx: number;
  /** Clockwise, by which the picture is to be turned to stand upright. */
  readonly turnedDegrees: 0 | 90 | 180 | 270;
  readonly samples: readonly IsoSample[];
}

const mostSamples = 20_000;
const largestIndex = 32 * 1024 * 1024;
const widestPx = 8192;

interface Box {
  readonly kind: string;
  readonly from: number;
  readonly to: number;
}

/** Bounded big-endian reading within the index; a number beyond it throws, which is caught once. */
class Index {
  private readonly view: DataView;

  constructor(readonly bytes: Uint8Array) {
    this.view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  }

  u16 = (at: number): number => this.view.getUint16(at);
  u32 = (at: number): number => this.view.getUint32(at);
  i32 = (at: number): number => this.view.getInt32(at);
  u64 = (at: number): number => Number(this.view.getBigUint64(at));
  kind = (at: number): string => String.fromCharCode(...this.bytes.subarray(at, at + 4));

  boxes(from: number, to: number): Box[] {
    const found: Box[] = [];
    for (let at = from; at + 8 <= to && found.length < 4096; ) {
      const short = this.u32(at);
      const size = short === 1 ? this.u64(at + 8) : short === 0 ? to - at : short;
      const head = short === 1 ? 16 : 8;
      if (size < head || at + size > to) break;
      found.push({ kind: this.kind(at + 4), from: at + head, to: at + size });
      at += size;
    }
    return found;
  }

  /** The first box at the end of a path of kinds. */
  find(inside: Box, ...path: readonly string[]): Box | null {
    let box: Box | null = inside;
    for (const kind of path)
      box = box === null ? null : (this.boxes(box.from, box.to).find((one) => one.kind === kind) ?? null);
    return box;
  }
}

/**
 * Reads the index of a film's first video track. Refuses FILM_WITHOUT_PICTURE, FILM_DAMAGED, FRAMES_TOO_MANY,
 * PICTURE_TOO_LARGE, and READ_AFTER_UPLOAD where pictures are listed elsewhere (fragments, cut lists).
 */
export async function readIsoFilm(source: ByteSource): Promise<Read<IsoFilm>> {
  const bytes = await indexOf(source);
  if (bytes === null) return refuse('FILM_DAMAGED');
  try {
    return readTrack(new Index(bytes), source.size);
  } catch {
    return refuse('FILM_DAMAGED');
  }
}

/** The moov box, wherever it lies; null when there is none. */
async function indexOf(source: ByteSource): Promise<Uint8Array | null> {
  for (let at = 0, boxes = 0; at + 8 <= source.size && boxes < 1000; boxes += 1) {
    const head = await source.read(at, 16);
    if (head.length < 8) return null;
    const view = new DataView(head.buffer, head.byteOffset, head.byteLength);
    const short = view.getUint32(0);
    if (short === 1 && head.length < 16) return null;
    const size = short === 0 ? source.size - at : short === 1 ? Number(view.getBigUint64(8)) : short;
    if (size < 8) return null;
    if (String.fromCharCode(...head.subarray(4, 8)) === 'moov') {
      if (size > largestIndex) return null;
      const whole = await source.read(at, size);
      return whole.length < size ? null : whole;
    }
    at += size;
  }
  return null;
}

function readTrack(index: Index, fileBytes: number): Read<IsoFilm> {
  const whole: Box = { kind: '', from: 0, to: index.bytes.length };
  const moov = index.find(whole, 'moov');
  if (moov === null) return refuse('FILM_DAMAGED');
  const inside = index.boxes(moov.from, moov.to);
  if (inside.some(({ kind }) => kind === 'mvex')) return refuse('READ_AFTER_UPLOAD');
  const track = inside.find((box) => {
    const handler = box.kind === 'trak' ? index.find(box, 'mdia', 'hdlr') : null;
    return handler !== null && index.kind(handler.from + 8) === 'vide';
  });
  if (track === undefined) return refuse('FILM_WITHOUT_PICTURE');
  const [head, media, table] = [
    index.find(track, 'tkhd'),
    index.find(track, 'mdia', 'mdhd'),
    index.find(track, 'mdia', 'minf', 'stbl'),
  ];
  if (head === null || media === null || table === null) return refuse('FILM_DAMAGED');
  const scale = index.u32(media.from + (index.bytes[media.from] === 1 ? 20 : 12));
  const entry = index.find(table, 'stsd');
  if (entry === null || scale === 0) return refuse('FILM_DAMAGED');
  // One entry: a film that changes its coding is left to the server.
  if (index.u32(entry.from + 4) !== 1) return refuse('READ_AFTER_UPLOAD');
  const at = entry.from + 8;
  const [widthPx, heightPx] = [index.u16(at + 32), index.u16(at + 34)];
  if (widthPx === 0 || heightPx === 0) return refuse('FILM_DAMAGED');
  if (widthPx > widestPx || heightPx > widestPx) return refuse('PICTURE_TOO_LARGE', { widthPx, heightPx });
  const turnedDegrees = turnOf(index, head);
  const start = startOf(index, track);
  if (turnedDegrees === null || start === null) return refuse('READ_AFTER_UPLOAD');
  const samples = samplesOf(index, table, scale, start, fileBytes);
  if (!samples.ok) return samples;
  const config = index
    .boxes(at + 86, Math.min(entry.to, at + index.u32(at)))
    .find(({ kind }) => kind === 'avcC');
  return {
    ok: true,
    value: {
      codec: index.kind(at + 4),
      configuration: config === undefined ? new Uint8Array() : index.bytes.slice(config.from, config.to),
      widthPx,
      heightPx,
      turnedDegrees,
      samples: samples.value,
    },
  };
}

/** The matrix of the track's head (8.3.2): only whole turns; null for another one. */
function turnOf(index: Index, head: Box): IsoFilm['turnedDegrees'] | null {
  const at = head.from + (index.bytes[head.from] === 1 ? 52 : 40);
  const [a, b, c, d] = [at, at + 4, at + 12, at + 16].map((place) => index.i32(place) / 65_536);
  const turns = { '1,0,0,1': 0, '0,1,-1,0': 90, '-1,0,0,-1': 180, '0,-1,1,0': 270 } as const;
  return turns[`${a},${b},${c},${d}` as keyof typeof turns] ?? null;
}

/** Where a cut list (8.6.6) begins in the track's own time, 0 without one; null for one of several parts. */
function startOf(index: Index, track: Box): number | null {
  const list = index.find(track, 'edts', 'elst');
  if (list === null) return 0;
  const wide = index.bytes[list.from] === 1;
  const count = index.u32(list.from + 4);
  const starts: number[] = [];
  for (let n = 0; n < Math.min(count, 16); n += 1) {
    const at = list.from + 8 + n * (wide ? 20 : 12);
    const start = wide ? index.u64(at + 8) : index.u32(at + 4);
    // All ones: nothing is shown for a while, which moves all times alike.
    if (start < 0xffffffff) starts.push(start);
  }
  return starts.length > 1 || count > 16 ? null : (starts[0] ?? 0);
}

function samplesOf(
  index: Index,
  table: Box,
  scale: number,
  start: number,
  fileBytes: number,
): Read<IsoSample[]> {
  const box = (kind: string): Box | null => index.find(table, kind);
  const sizes = sizesOf(index, box('stsz'));
  if (sizes === null || sizes.length === 0) return refuse('FILM_DAMAGED');
  if (sizes.length > mostSamples) return refuse('FRAMES_TOO_MANY', { frames: sizes.length });
  const offsets = offsetsOf(index, box('stsc'), box('stco'), box('co64'), sizes);
  const steps = runsOf(index, box('stts'), sizes.length);
  const late = box('ctts');
  const delays = late === null ? sizes.map(() => 0) : runsOf(index, late, sizes.length);
  if (offsets === null || steps === null || delays === null) return refuse('FILM_DAMAGED');
  const keys = keysOf(index, box('stss'));
  const shown: number[] = [];
  let at = 0;
  for (const [n, step] of steps.entries()) {
    shown.push(at + (delays[n] ?? 0));
    at += step;
  }
  const first = Math.min(...shown.slice(0, 64));
  // Pictures that are cut off at the beginning: the server's decoder knows which.
  if (start > first) return refuse('READ_AFTER_UPLOAD');
  const samples = sizes.map((length, n) => ({
    offset: offsets[n] ?? 0,
    length,
    timeMs: Math.round(((shown[n] ?? 0) - first) * (1e6 / scale)) / 1000,
    isKey: keys === null || keys.has(n + 1),
  }));
  const whole = samples.every(({ offset, length, timeMs }) => offset + length <= fileBytes && timeMs >= 0);
  return whole ? { ok: true, value: samples } : refuse('FILE_TRUNCATED');
}

function sizesOf(index: Index, box: Box | null): number[] | null {
  if (box === null) return null;
  const [each, count] = [index.u32(box.from + 4), index.u32(box.from + 8)];
  if (count > mostSamples) return Array.from({ length: mostSamples + 1 }, () => 0);
  return Array.from({ length: count }, (_, n) => (each > 0 ? each : index.u32(box.from + 12 + 4 * n)));
}

/** Where each sample lies: chunks of samples one behind the other (8.7.4, 8.7.5). */
function offsetsOf(
  index: Index,
  runs: Box | null,
  short: Box | null,
  long: Box | null,
  sizes: readonly number[],
): number[] | null {
  const chunks = short ?? long;
  if (runs === null || chunks === null) return null;
  const count = index.u32(chunks.from + 4);
  const runCount = index.u32(runs.from + 4);
  const offsets: number[] = [];
  let run = 0;
  for (let chunk = 1; chunk <= count && offsets.length < sizes.length; chunk += 1) {
    while (run + 1 < runCount && index.u32(runs.from + 8 + 12 * (run + 1)) <= chunk) run += 1;
    const inChunk = index.u32(runs.from + 8 + 12 * run + 4);
    let at =
      short === null
        ? index.u64(chunks.from + 8 + 8 * (chunk - 1))
        : index.u32(chunks.from + 8 + 4 * (chunk - 1));
    for (let n = 0; n < inChunk && offsets.length < sizes.length; n += 1) {
      offsets.push(at);
      at += sizes[offsets.length - 1] ?? 0;
    }
  }
  return offsets.length === sizes.length ? offsets : null;
}

/** Values by runs of samples (8.6.1.2, 8.6.1.3); null when there is no such box or it tells too few. */
function runsOf(index: Index, box: Box | null, wanted: number): number[] | null {
  if (box === null) return null;
  const count = index.u32(box.from + 4);
  const out: number[] = [];
  for (let n = 0; n < count && out.length < wanted; n += 1) {
    const repeats = Math.min(index.u32(box.from + 8 + 8 * n), wanted - out.length);
    const value = index.i32(box.from + 12 + 8 * n);
    for (let r = 0; r < repeats; r += 1) out.push(value);
  }
  return out.length === wanted ? out : null;
}

/** Numbers, from 1, of samples that need no other; null: all of them. */
function keysOf(index: Index, box: Box | null): ReadonlySet<number> | null {
  if (box === null) return null;
  const count = Math.min(index.u32(box.from + 4), mostSamples);
  return new Set(Array.from({ length: count }, (_, n) => index.u32(box.from + 8 + 4 * n)));
}
