/** A small writer of Part 10 files, explicit VR little endian, for phantoms and tests. */
export type ElementValue = string | Uint8Array | readonly number[] | readonly (readonly WrittenElement[])[];

export interface WrittenElement {
  /** GGGGEEEE in hex, small letters. */
  readonly tag: string;
  readonly vr: string;
  readonly value: ElementValue;
}

export type WrittenFrames =
  | { readonly coding: 'native'; readonly frames: readonly Uint8Array[] }
  | {
      readonly coding: 'rle' | 'jpeg';
      readonly frames: readonly Uint8Array[];
      readonly offsetTable?: boolean;
    }
  | {
      /** Frames (or fragments of one film) already coded as the transfer syntax says. */
      readonly coding: 'stream';
      readonly transferSyntax: string;
      readonly frames: readonly Uint8Array[];
      readonly offsetTable?: boolean;
    };

const longForms = new Set(['OB', 'OW', 'OF', 'SQ', 'UN', 'UT']);
const syntaxes = {
  native: '1.2.840.10008.1.2.1',
  rle: '1.2.840.10008.1.2.5',
  jpeg: '1.2.840.10008.1.2.4.50',
} as const;

function join(parts: readonly Uint8Array[]): Uint8Array {
  const out = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    out.set(part, at);
    at += part.length;
  }
  return out;
}

/** UTF-8, by hand: this package has no encoder of the platform. */
function utf8(text: string): Uint8Array {
  const out: number[] = [];
  for (const letter of text) {
    const point = letter.codePointAt(0) ?? 0;
    if (point < 0x80) out.push(point);
    else if (point < 0x800) out.push(0xc0 | (point >> 6), 0x80 | (point & 63));
    else if (point < 0x10000) out.push(0xe0 | (point >> 12), 0x80 | ((point >> 6) & 63), 0x80 | (point & 63));
    else
      out.push(
        0xf0 | (point >> 18),
        0x80 | ((point >> 12) & 63),
        0x80 | ((point >> 6) & 63),
        0x80 | (point & 63),
      );
  }
  return Uint8Array.from(out);
}

function numbers(vr: string, values: readonly number[]): Uint8Array {
  const width = vr === 'FD' ? 8 : vr === 'US' || vr === 'SS' ? 2 : 4;
  const out = new Uint8Array(width * values.length);
  const view = new DataView(out.buffer);
  values.forEach((value, n) => {
    if (vr === 'FD') view.setFloat64(8 * n, value, true);
    else if (vr === 'FL') view.setFloat32(4 * n, value, true);
    else if (vr === 'US') view.setUint16(2 * n, value, true);
    else if (vr === 'SS') view.setInt16(2 * n, value, true);
    else if (vr === 'SL') view.setInt32(4 * n, value, true);
    else if (vr === 'UL') view.setUint32(4 * n, value, true);
    else if (vr === 'AT') {
      view.setUint16(4 * n, value >>> 16, true);
      view.setUint16(4 * n + 2, value & 0xffff, true);
    } else throw new Error(`writer: numbers with VR ${vr}`);
  });
  return out;
}

function even(bytes: Uint8Array, padding: number): Uint8Array {
  if (bytes.length % 2 === 0) return bytes;
  const out = new Uint8Array(bytes.length + 1);
  out.set(bytes);
  out[bytes.length] = padding;
  return out;
}

function tagBytes(tag: string): number[] {
  const group = Number.parseInt(tag.slice(0, 4), 16);
  const element = Number.parseInt(tag.slice(4), 16);
  return [group & 255, group >> 8, element & 255, element >> 8];
}

function word32(value: number): number[] {
  return [value & 255, (value >>> 8) & 255, (value >>> 16) & 255, (value >>> 24) & 255];
}

function head(tag: string, vr: string, length: number): Uint8Array {
  const letters = [vr.charCodeAt(0), vr.charCodeAt(1)];
  if (longForms.has(vr)) return Uint8Array.from([...tagBytes(tag), ...letters, 0, 0, ...word32(length)]);
  if (length > 65534) throw new Error(`writer: value of ${tag} is too long for VR ${vr}`);
  return Uint8Array.from([...tagBytes(tag), ...letters, length & 255, length >> 8]);
}

function isItems(value: ElementValue): value is readonly (readonly WrittenElement[])[] {
  return Array.isArray(value) && value.length > 0 && Array.isArray(value[0]);
}

function encodeElement(element: WrittenElement): Uint8Array {
  const { tag, vr, value } = element;
  if (vr === 'SQ') {
    const items = isItems(value) ? value.map(encodeItem) : [];
    const body = join(items);
    return join([head(tag, vr, body.length), body]);
  }
  const bytes = plainBytes(vr, value);
  return join([head(tag, vr, bytes.length), bytes]);
}

function plainBytes(vr: string, value: ElementValue): Uint8Array {
  if (typeof value === 'string') return even(utf8(value), vr === 'UI' ? 0 : 0x20);
  if (value instanceof Uint8Array) return even(value, 0);
  return numbers(vr, value as readonly number[]);
}

function encodeItem(elements: readonly WrittenElement[]): Uint8Array {
  const body = encodeElements(elements);
  return join([Uint8Array.from([0xfe, 0xff, 0x00, 0xe0, ...word32(body.length)]), body]);
}

function encodeElements(elements: readonly WrittenElement[]): Uint8Array {
  const ordered = [...elements].sort((a, b) => (a.tag < b.tag ? -1 : a.tag > b.tag ? 1 : 0));
  return join(ordered.map(encodeElement));
}

function encodePixels(pixels: WrittenFrames, vr: 'OB' | 'OW'): Uint8Array {
  if (pixels.coding === 'native') {
    const body = even(join(pixels.frames), 0);
    return join([head('7fe00010', vr, body.length), body]);
  }
  const frames = pixels.frames.map((frame) => even(frame, 0));
  const table: number[] = [];
  let at = 0;
  for (const frame of frames) {
    table.push(...word32(at));
    at += 8 + frame.length;
  }
  const shown = pixels.offsetTable === false ? [] : table;
  const parts = [
    head('7fe00010', 'OB', 0xffffffff),
    Uint8Array.from([0xfe, 0xff, 0x00, 0xe0, ...word32(shown.length), ...shown]),
  ];
  for (const frame of frames)
    parts.push(Uint8Array.from([0xfe, 0xff, 0x00, 0xe0, ...word32(frame.length)]), frame);
  parts.push(Uint8Array.from([0xfe, 0xff, 0xdd, 0xe0, 0, 0, 0, 0]));
  return join(parts);
}

/** Root of UIDs made from numbers (ISO/IEC 9834-8: 2.25 and a UUID as decimal). */
export function uidFrom(decimal: string): string {
  return `2.25.${decimal}`;
}

/**
 * Writes a whole file: preamble, meta header (group 0002), data set, pixels. `elements` must name the SOP class (00080016)
 * and instance (00080018); group 0002 is made here. Text is written as UTF-8, so give (0008,0005) ISO_IR 192.
 */
export function writePart10(elements: readonly WrittenElement[], pixels: WrittenFrames | null): Uint8Array {
  const valueOf = (tag: string): string => {
    const value = elements.find((element) => element.tag === tag)?.value;
    if (typeof value !== 'string') throw new Error(`writer: ${tag} is missing`);
    return value;
  };
  const meta = encodeElements([
    { tag: '00020001', vr: 'OB', value: Uint8Array.from([0, 1]) },
    { tag: '00020002', vr: 'UI', value: valueOf('00080016') },
    { tag: '00020003', vr: 'UI', value: valueOf('00080018') },
    {
      tag: '00020010',
      vr: 'UI',
      value: pixels?.coding === 'stream' ? pixels.transferSyntax : syntaxes[pixels?.coding ?? 'native'],
    },
    { tag: '00020012', vr: 'UI', value: uidFrom('230582091871274912804173926411842173591') },
    { tag: '00020013', vr: 'SH', value: 'CHORDAE_1' },
  ]);
  const preamble = new Uint8Array(132);
  preamble.set([0x44, 0x49, 0x43, 0x4d], 128);
  const length = encodeElement({ tag: '00020000', vr: 'UL', value: [meta.length] });
  const body = encodeElements(elements.filter((element) => !element.tag.startsWith('0002')));
  const allocated = elements.find((element) => element.tag === '00280100')?.value;
  // PS3.5 A.2: more than eight bits are words.
  const vr = Array.isArray(allocated) && Number(allocated[0]) > 8 ? 'OW' : 'OB';
  return join([preamble, length, meta, body, ...(pixels === null ? [] : [encodePixels(pixels, vr)])]);
}
