/**
 * Transfer syntaxes by UID (PS3.6 table A-1), and how this reader takes the pixels. `stream`: each frame is a complete
 * stream (JPEG of any process, JPEG-LS, JPEG 2000, JPEG XL) that says itself what it is; `video`: all frames are one.
 */
export type PixelCoding = 'native' | 'rle' | 'stream' | 'video';

export interface TransferSyntax {
  readonly name: string;
  /** null: not read. */
  readonly coding: PixelCoding | null;
  readonly explicit: boolean;
  readonly littleEndian: boolean;
  readonly deflated: boolean;
}

const root = '1.2.840.10008.1.2';
export const implicitLittle = root;
export const explicitLittle = `${root}.1`;
export const explicitBig = `${root}.2`;

function syntax(
  name: string,
  coding: PixelCoding | null,
  other: Partial<TransferSyntax> = {},
): TransferSyntax {
  return { name, coding, explicit: true, littleEndian: true, deflated: false, ...other };
}

const known = new Map<string, TransferSyntax>([
  [implicitLittle, syntax('Implicit VR Little Endian', 'native', { explicit: false })],
  [explicitLittle, syntax('Explicit VR Little Endian', 'native')],
  [explicitBig, syntax('Explicit VR Big Endian', 'native', { littleEndian: false })],
  [`${root}.1.99`, syntax('Deflated Explicit VR Little Endian', 'native', { deflated: true })],
  [`${root}.5`, syntax('RLE Lossless', 'rle')],
  [`${root}.4.50`, syntax('JPEG Baseline', 'stream')],
  [`${root}.4.51`, syntax('JPEG Extended', 'stream')],
  [`${root}.4.57`, syntax('JPEG Lossless', 'stream')],
  [`${root}.4.70`, syntax('JPEG Lossless', 'stream')],
  [`${root}.4.80`, syntax('JPEG-LS Lossless', 'stream')],
  [`${root}.4.81`, syntax('JPEG-LS Near-lossless', 'stream')],
  [`${root}.4.90`, syntax('JPEG 2000 Lossless', 'stream')],
  [`${root}.4.91`, syntax('JPEG 2000', 'stream')],
]);

const families: readonly (readonly [RegExp, string, PixelCoding | null])[] = [
  [/\.4\.10[01](\.1)?$/, 'MPEG2 video', 'video'],
  [/\.4\.10[2-6](\.1)?$/, 'MPEG-4 AVC/H.264 video', 'video'],
  [/\.4\.10[78]$/, 'HEVC/H.265 video', 'video'],
  [/\.4\.11[012]$/, 'JPEG XL', 'stream'],
  [/\.4\.20[123]$/, 'High-Throughput JPEG 2000', 'stream'],
];

export function transferSyntaxOf(uid: string): TransferSyntax {
  const found = known.get(uid);
  if (found !== undefined) return found;
  const family = families.find(([pattern]) => uid.startsWith(root) && pattern.test(uid));
  return family === undefined ? syntax(uid.slice(0, 64), null) : syntax(family[1], family[2]);
}
