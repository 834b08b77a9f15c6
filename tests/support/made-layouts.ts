import type { WrittenElement, WrittenFrames } from '@chordae/dicom';
import { writePart10 } from '@chordae/dicom';

/** Ultrasound multi-frame objects of every pixel layout that PS3.3 C.8.5.6.1.2 lets them have, and secondary captures. */
export const layoutWidth = 34;
export const layoutHeight = 22;
const frames = 2;
const pixels = layoutWidth * layoutHeight;

/** Three channels a pixel: smooth, and another in each frame and each corner. */
function colours(frame: number): Uint8Array {
  return Uint8Array.from({ length: 3 * pixels }, (_, n) => {
    const [x, y, c] = [Math.floor(n / 3) % layoutWidth, Math.floor(n / 3 / layoutWidth), n % 3];
    return (c === 0 ? 7 * x : c === 1 ? 11 * y : 90 + 3 * x - 2 * y) + 5 * frame;
  });
}

const oneOf = (channel: number, from: Uint8Array): Uint8Array => from.filter((_, n) => n % 3 === channel);
function planes(from: Uint8Array): Uint8Array {
  return Uint8Array.from([...oneOf(0, from), ...oneOf(1, from), ...oneOf(2, from)]);
}

/** Y1 Y2 Cb Cr for each two pixels. */
function halved(from: Uint8Array): Uint8Array {
  const out: number[] = [];
  for (let n = 0; n < pixels; n += 2)
    out.push(from[3 * n] ?? 0, from[3 * n + 3] ?? 0, from[3 * n + 1] ?? 0, from[3 * n + 2] ?? 0);
  return Uint8Array.from(out);
}

/** Words of `bits` bits from bytes: the low byte says something too. */
function deep(from: Uint8Array, bits: number): Uint8Array {
  const words = Uint16Array.from(from, (value, n) => ((value << (bits - 8)) + (n % 7)) & (2 ** bits - 1));
  return new Uint8Array(words.buffer);
}

const grey = (frame: number): Uint8Array => oneOf(0, colours(frame));

/** A table of 256 entries: red rises, green falls, blue goes up and down. */
const table = [
  (n: number) => n,
  (n: number) => 255 - n,
  (n: number) => (n < 128 ? 2 * n : 2 * (255 - n)),
] as const;

function palette(bits: 8 | 16, segmented: boolean): WrittenElement[] {
  return table.flatMap((entry, c) => {
    const values = Array.from({ length: 256 }, (_, n) => entry(n));
    const descriptor = { tag: `0028110${c + 1}`, vr: 'US', value: [256, 0, bits] };
    if (segmented) {
      // PS3.3 C.7.9.2: a first point, then straight lines to the turns.
      const turns =
        c === 2
          ? [
              [127, 254],
              [1, 254],
              [127, 0],
            ]
          : [[255, entry(255)]];
      const words = [0, 1, entry(0) * 257, ...turns.flatMap(([length = 0, to = 0]) => [1, length, to * 257])];
      return [
        descriptor,
        { tag: `0028122${c + 1}`, vr: 'OW', value: new Uint8Array(Uint16Array.from(words).buffer) },
      ];
    }
    const data =
      bits === 8
        ? Uint8Array.from(values)
        : new Uint8Array(Uint16Array.from(values, (value) => value * 257).buffer);
    return [descriptor, { tag: `0028120${c + 1}`, vr: 'OW', value: data }];
  });
}

export interface MadeLayout {
  readonly name: string;
  readonly colour: string;
  readonly samples: 1 | 3;
  readonly bits: 8 | 12 | 16;
  readonly planar?: 0 | 1;
  readonly more?: readonly WrittenElement[];
  readonly frame: (frame: number) => Uint8Array;
  /** A secondary capture: the ultrasound objects have eight bits. */
  readonly capture?: boolean;
  /** What a validator of today says of it, since the standard has retired it or it counts otherwise; such files are met all the same. */
  readonly retired?: RegExp;
}

const window: WrittenElement[] = [
  { tag: '00281050', vr: 'DS', value: '1500' },
  { tag: '00281051', vr: 'DS', value: '2600' },
  { tag: '00281052', vr: 'DS', value: '-100' },
  { tag: '00281053', vr: 'DS', value: '1' },
  { tag: '00281054', vr: 'LO', value: 'US' },
];

export const madeLayouts: readonly MadeLayout[] = [
  { name: 'grey', colour: 'MONOCHROME2', samples: 1, bits: 8, frame: grey },
  {
    name: 'grey, bright as 0',
    colour: 'MONOCHROME1',
    samples: 1,
    bits: 8,
    frame: grey,
    capture: true,
    retired: /Photometric Interpretation|<Rescale/,
  },
  {
    name: 'grey of 12 bits with a window',
    colour: 'MONOCHROME2',
    samples: 1,
    bits: 12,
    more: window,
    frame: (n) => deep(grey(n), 12),
    capture: true,
  },
  {
    name: 'grey of 16 bits',
    colour: 'MONOCHROME2',
    samples: 1,
    bits: 16,
    frame: (n) => deep(grey(n), 16),
    capture: true,
  },
  { name: 'RGB by pixel', colour: 'RGB', samples: 3, bits: 8, planar: 0, frame: colours },
  { name: 'RGB by plane', colour: 'RGB', samples: 3, bits: 8, planar: 1, frame: (n) => planes(colours(n)) },
  {
    name: 'YBR_FULL by pixel',
    colour: 'YBR_FULL',
    samples: 3,
    bits: 8,
    planar: 0,
    frame: colours,
    capture: true,
    retired: /Photometric Interpretation/,
  },
  {
    name: 'YBR_FULL by plane',
    colour: 'YBR_FULL',
    samples: 3,
    bits: 8,
    planar: 1,
    retired: /Photometric Interpretation/,
    frame: (n) => planes(colours(n)),
  },
  {
    name: 'YBR_FULL_422',
    colour: 'YBR_FULL_422',
    samples: 3,
    bits: 8,
    planar: 0,
    retired: /Photometric Interpretation|PixelData has incorrect value length/,
    frame: (n) => halved(colours(n)),
  },
  {
    name: 'palette of 16-bit entries',
    colour: 'PALETTE COLOR',
    samples: 1,
    bits: 8,
    more: palette(16, false),
    frame: grey,
  },
  {
    name: 'palette of 8-bit entries',
    colour: 'PALETTE COLOR',
    samples: 1,
    bits: 8,
    more: palette(8, false),
    frame: grey,
    retired: /Palette Color Lookup Table Descriptor/,
  },
  {
    name: 'palette in segments',
    colour: 'PALETTE COLOR',
    samples: 1,
    bits: 8,
    more: palette(16, true),
    frame: grey,
  },
];

function pixelElements(layout: MadeLayout): WrittenElement[] {
  return [
    { tag: '00280002', vr: 'US', value: [layout.samples] },
    { tag: '00280004', vr: 'CS', value: layout.colour },
    ...(layout.planar === undefined ? [] : [{ tag: '00280006', vr: 'US', value: [layout.planar] }]),
    { tag: '00280008', vr: 'IS', value: String(frames) },
    { tag: '00280009', vr: 'AT', value: [0x00181063] },
    { tag: '00280010', vr: 'US', value: [layoutHeight] },
    { tag: '00280011', vr: 'US', value: [layoutWidth] },
    { tag: '00280100', vr: 'US', value: [layout.bits === 8 ? 8 : 16] },
    { tag: '00280101', vr: 'US', value: [layout.bits] },
    { tag: '00280102', vr: 'US', value: [layout.bits - 1] },
    { tag: '00280103', vr: 'US', value: [0] },
    { tag: '00280301', vr: 'CS', value: 'YES' },
    { tag: '00282110', vr: 'CS', value: '00' },
    ...(layout.more ?? []),
  ];
}

/** Multi-frame secondary captures by what they hold (PS3.3 A.8.3 to A.8.5). */
function captureClass({ samples, bits }: MadeLayout): string {
  const root = '1.2.840.10008.5.1.4.1.1.7';
  return samples === 3 ? `${root}.4` : bits === 8 ? `${root}.2` : `${root}.3`;
}

/** A whole valid object with this layout; `as`: its frames in another coding. */
export function madeLayout(layout: MadeLayout, as?: WrittenFrames): Uint8Array {
  const capture = layout.capture === true;
  const mono = capture && layout.samples === 1;
  const elements: WrittenElement[] = [
    { tag: '00080005', vr: 'CS', value: 'ISO_IR 192' },
    { tag: '00080008', vr: 'CS', value: capture ? 'DERIVED\\SECONDARY' : 'ORIGINAL\\PRIMARY\\TTE\\0001' },
    { tag: '00080016', vr: 'UI', value: capture ? captureClass(layout) : '1.2.840.10008.5.1.4.1.1.3.1' },
    { tag: '00080018', vr: 'UI', value: '2.25.4001' },
    { tag: '00080020', vr: 'DA', value: '20261125' },
    { tag: '00080023', vr: 'DA', value: '20261125' },
    { tag: '00080030', vr: 'TM', value: '101500' },
    { tag: '00080033', vr: 'TM', value: '101500' },
    { tag: '00080050', vr: 'SH', value: '' },
    { tag: '00080060', vr: 'CS', value: 'US' },
    { tag: '00080064', vr: 'CS', value: 'WSD' },
    { tag: '00080070', vr: 'LO', value: 'Chordae phantom' },
    { tag: '00080090', vr: 'PN', value: '' },
    { tag: '00081090', vr: 'LO', value: 'Phantom 1' },
    { tag: '00100010', vr: 'PN', value: 'EXAMPLE^PEBBLE' },
    { tag: '00100020', vr: 'LO', value: 'X-1' },
    { tag: '00100030', vr: 'DA', value: '20200101' },
    { tag: '00100040', vr: 'CS', value: 'F' },
    { tag: '00102201', vr: 'LO', value: 'Canis lupus familiaris' },
    { tag: '00102203', vr: 'CS', value: 'ALTERED' },
    { tag: '00102292', vr: 'LO', value: 'Mixed' },
    { tag: '00102293', vr: 'SQ', value: [] },
    { tag: '00102294', vr: 'SQ', value: [] },
    { tag: '00102297', vr: 'PN', value: '' },
    { tag: '00102299', vr: 'LO', value: '' },
    { tag: '00181063', vr: 'DS', value: '40' },
    { tag: '0020000d', vr: 'UI', value: '2.25.4002' },
    { tag: '0020000e', vr: 'UI', value: '2.25.4003' },
    { tag: '00200010', vr: 'SH', value: '1' },
    { tag: '00200011', vr: 'IS', value: '1' },
    { tag: '00200013', vr: 'IS', value: '1' },
    { tag: '00200020', vr: 'CS', value: '' },
    { tag: '00200060', vr: 'CS', value: '' },
    ...(mono && layout.more === undefined && layout.bits > 8
      ? [
          { tag: '00281052', vr: 'DS', value: '0' },
          { tag: '00281053', vr: 'DS', value: '1' },
          { tag: '00281054', vr: 'LO', value: 'US' },
        ]
      : []),
    ...(mono && layout.bits > 8 ? [{ tag: '20500020', vr: 'CS', value: 'IDENTITY' }] : []),
    ...pixelElements(layout),
  ];
  const native = { coding: 'native', frames: [layout.frame(0), layout.frame(1)] } as const;
  return writePart10(elements, as ?? native);
}
