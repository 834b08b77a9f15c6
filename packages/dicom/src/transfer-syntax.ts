/** Transfer syntaxes by UID (PS3.6 table A-1; list of STANDARDS 1.10), and how this reader takes the pixels. */
export type PixelCoding = 'native' | 'rle' | 'jpeg';

interface TransferSyntax {
  readonly name: string;
  readonly coding: PixelCoding | null;
}

const root = '1.2.840.10008.1.2';
const known = new Map<string, TransferSyntax>([
  [root, { name: 'Implicit VR Little Endian', coding: 'native' }],
  [`${root}.1`, { name: 'Explicit VR Little Endian', coding: 'native' }],
  [`${root}.5`, { name: 'RLE Lossless', coding: 'rle' }],
  [`${root}.4.50`, { name: 'JPEG Baseline', coding: 'jpeg' }],
  [`${root}.1.99`, { name: 'Deflated Explicit VR Little Endian', coding: null }],
  [`${root}.2`, { name: 'Explicit VR Big Endian', coding: null }],
  [`${root}.4.51`, { name: 'JPEG Extended', coding: null }],
  [`${root}.4.57`, { name: 'JPEG Lossless', coding: null }],
  [`${root}.4.70`, { name: 'JPEG Lossless', coding: null }],
  [`${root}.4.80`, { name: 'JPEG-LS Lossless', coding: null }],
  [`${root}.4.81`, { name: 'JPEG-LS Near-lossless', coding: null }],
  [`${root}.4.90`, { name: 'JPEG 2000 Lossless', coding: null }],
  [`${root}.4.91`, { name: 'JPEG 2000', coding: null }],
]);

const families: readonly (readonly [RegExp, string])[] = [
  [/\.4\.10[01](\.1)?$/, 'MPEG2 video'],
  [/\.4\.10[2-6](\.1)?$/, 'MPEG-4 AVC/H.264 video'],
  [/\.4\.10[78]$/, 'HEVC/H.265 video'],
  [/\.4\.11[012]$/, 'JPEG XL'],
  [/\.4\.20[123]$/, 'High-Throughput JPEG 2000'],
];

export function transferSyntaxOf(uid: string): TransferSyntax {
  const found = known.get(uid);
  if (found !== undefined) return found;
  const family = families.find(([pattern]) => uid.startsWith(root) && pattern.test(uid));
  return { name: family?.[1] ?? uid.slice(0, 64), coding: null };
}
