import { writePart10 } from '@chordae/dicom';

export interface MadeDicom {
  readonly frames?: number;
  readonly name?: string;
  readonly withRegion?: boolean;
  readonly seed?: number;
  readonly columns?: number;
  readonly rows?: number;
}

/** A small grey multi-frame ultrasound object with a calibrated region below a strip of 'burnt-in' text (bright rows 0 to 7). */
export function madeDicom({
  frames = 3,
  name = 'EXAMPLE^PEBBLE',
  withRegion = true,
  seed = 1,
  columns = 64,
  rows = 48,
}: MadeDicom = {}): Uint8Array {
  const pictures = Array.from({ length: frames }, (_f, f) => {
    const picture = new Uint8Array(columns * rows);
    for (let y = 0; y < rows; y += 1)
      for (let x = 0; x < columns; x += 1)
        picture[y * columns + x] = y < 8 ? 255 : (x * 3 + y * 5 + f * 11 + seed * 17) & 127;
    return picture;
  });
  const region = [
    { tag: '00186012', vr: 'US', value: [1] },
    { tag: '00186014', vr: 'US', value: [1] },
    { tag: '00186016', vr: 'UL', value: [2] },
    { tag: '00186018', vr: 'UL', value: [0] },
    { tag: '0018601a', vr: 'UL', value: [8] },
    { tag: '0018601c', vr: 'UL', value: [columns - 1] },
    { tag: '0018601e', vr: 'UL', value: [rows - 1] },
    { tag: '00186024', vr: 'US', value: [3] },
    { tag: '00186026', vr: 'US', value: [3] },
    { tag: '0018602c', vr: 'FD', value: [0.2] },
    { tag: '0018602e', vr: 'FD', value: [0.2] },
  ];
  return writePart10(
    [
      { tag: '00080005', vr: 'CS', value: 'ISO_IR 192' },
      { tag: '00080016', vr: 'UI', value: '1.2.840.10008.5.1.4.1.1.3.1' },
      { tag: '00080018', vr: 'UI', value: `2.25.${1000 + seed}` },
      { tag: '00080020', vr: 'DA', value: '20261125' },
      { tag: '00080060', vr: 'CS', value: 'US' },
      { tag: '00100010', vr: 'PN', value: name },
      { tag: '00181063', vr: 'DS', value: '40' },
      ...(withRegion ? [{ tag: '00186011', vr: 'SQ', value: [region] }] : []),
      { tag: '0020000d', vr: 'UI', value: '2.25.11' },
      { tag: '0020000e', vr: 'UI', value: '2.25.12' },
      { tag: '00280002', vr: 'US', value: [1] },
      { tag: '00280004', vr: 'CS', value: 'MONOCHROME2' },
      { tag: '00280008', vr: 'IS', value: String(frames) },
      { tag: '00280009', vr: 'AT', value: Uint8Array.from([0x18, 0x00, 0x63, 0x10]) },
      { tag: '00280010', vr: 'US', value: [rows] },
      { tag: '00280011', vr: 'US', value: [columns] },
      { tag: '00280100', vr: 'US', value: [8] },
      { tag: '00280101', vr: 'US', value: [8] },
      { tag: '00280102', vr: 'US', value: [7] },
      { tag: '00280103', vr: 'US', value: [0] },
    ],
    { coding: 'native', frames: pictures },
  );
}
