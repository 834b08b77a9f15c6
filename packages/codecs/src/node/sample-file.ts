import type { WrittenElement, WrittenFrames } from '@chordae/dicom';
import { writePart10 } from '@chordae/dicom';

/** For tests: a grey multi-frame file of 64 by 48 with one 2D region and bright pixels everywhere. */
export const sampleWidth = 64;
export const sampleHeight = 48;
export const sampleRegion = { x0: 16, y0: 8, x1: 47, y1: 39 };

export function sampleFrame(number: number): Uint8Array {
  return Uint8Array.from(
    { length: sampleWidth * sampleHeight },
    (_, n) => 120 + ((n * 7 + number * 31) % 100),
  );
}

export function sampleFile(pixels: WrittenFrames, withRegion = true): Uint8Array {
  const region: WrittenElement[] = [
    { tag: '00186012', vr: 'US', value: [1] },
    { tag: '00186014', vr: 'US', value: [1] },
    { tag: '00186016', vr: 'UL', value: [0] },
    { tag: '00186018', vr: 'UL', value: [sampleRegion.x0] },
    { tag: '0018601a', vr: 'UL', value: [sampleRegion.y0] },
    { tag: '0018601c', vr: 'UL', value: [sampleRegion.x1] },
    { tag: '0018601e', vr: 'UL', value: [sampleRegion.y1] },
    { tag: '00186024', vr: 'US', value: [3] },
    { tag: '00186026', vr: 'US', value: [3] },
    { tag: '0018602c', vr: 'FD', value: [0.2] },
    { tag: '0018602e', vr: 'FD', value: [0.2] },
  ];
  const elements: WrittenElement[] = [
    { tag: '00080016', vr: 'UI', value: '1.2.840.10008.5.1.4.1.1.3.1' },
    { tag: '00080018', vr: 'UI', value: '2.25.4' },
    { tag: '00181063', vr: 'DS', value: '25' },
    { tag: '00280002', vr: 'US', value: [1] },
    { tag: '00280004', vr: 'CS', value: 'MONOCHROME2' },
    { tag: '00280008', vr: 'IS', value: String(pixels.frames.length) },
    { tag: '00280010', vr: 'US', value: [sampleHeight] },
    { tag: '00280011', vr: 'US', value: [sampleWidth] },
    { tag: '00280100', vr: 'US', value: [8] },
    { tag: '00280101', vr: 'US', value: [8] },
    ...(withRegion ? [{ tag: '00186011', vr: 'SQ', value: [region] }] : []),
  ];
  return writePart10(elements, pixels);
}
