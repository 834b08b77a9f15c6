import type { WrittenElement, WrittenFrames } from '@chordae/dicom';
import { encodeRle, uidFrom, writePart10 } from '@chordae/dicom';
import { exactCos, exactSin } from '@chordae/units';
import type { PhantomClip } from './clip';
import type { Random } from './random';

/** Invented patient of a phantom. */
export interface PhantomPatient {
  /** As a DICOM name: family and given, a caret between. */
  readonly name: string;
  readonly number: string;
  readonly breed: string;
  readonly sex: 'M' | 'F' | 'O';
  readonly neutered: boolean | null;
  /** YYYYMMDD, or '' when not known. */
  readonly birthDate: string;
  /** YYYYMMDD and HHMMSS of the scan. */
  readonly scanDate: string;
  readonly scanTime: string;
  /** '' leaves the keeper unnamed. */
  readonly keeper: string;
}

/** Turns luma frames into coded ones: JPEG is made by the caller, since this package is pure. */
export type FrameCoding =
  | { readonly coding: 'native' | 'rle' }
  | { readonly coding: 'jpeg'; readonly frames: readonly Uint8Array[] };

function uid(random: Random): string {
  let digits = '1';
  for (let n = 0; n < 35; n += 1) digits += String(Math.floor(random() * 10));
  return uidFrom(digits);
}

function coded(clip: PhantomClip, coding: FrameCoding): WrittenFrames {
  if (coding.coding === 'jpeg') return coding;
  if (coding.coding === 'native') return { coding: 'native', frames: clip.frames };
  return { coding: 'rle', frames: clip.frames.map((frame) => encodeRle([frame], clip.fan.widthPx)) };
}

/** The rectangle round the fan, in whole pixels within the picture: what the region of the file says. */
export function fanBox(clip: PhantomClip): { x0: number; y0: number; x1: number; y1: number } {
  const { fan } = clip;
  const reach = (fan.faceCm + fan.depthCm) * fan.pxPerCm;
  const half = reach * exactSin(fan.halfAngle);
  return {
    x0: Math.max(0, Math.floor(fan.apexX - half)),
    y0: Math.max(0, Math.floor(fan.apexY + fan.faceCm * fan.pxPerCm * exactCos(fan.halfAngle))),
    x1: Math.min(fan.widthPx - 1, Math.ceil(fan.apexX + half)),
    y1: Math.min(fan.heightPx - 1, Math.ceil(fan.apexY + reach)),
  };
}

function regionItem(clip: PhantomClip): WrittenElement[] {
  const { fan } = clip;
  const box = fanBox(clip);
  const delta = 1 / fan.pxPerCm;
  return [
    { tag: '00186012', vr: 'US', value: [1] },
    { tag: '00186014', vr: 'US', value: [1] },
    { tag: '00186016', vr: 'UL', value: [2] },
    { tag: '00186018', vr: 'UL', value: [box.x0] },
    { tag: '0018601a', vr: 'UL', value: [box.y0] },
    { tag: '0018601c', vr: 'UL', value: [box.x1] },
    { tag: '0018601e', vr: 'UL', value: [box.y1] },
    { tag: '00186020', vr: 'SL', value: [Math.round(fan.apexX - box.x0)] },
    { tag: '00186022', vr: 'SL', value: [Math.round(fan.apexY + fan.faceCm * fan.pxPerCm - box.y0)] },
    { tag: '00186024', vr: 'US', value: [3] },
    { tag: '00186026', vr: 'US', value: [3] },
    { tag: '00186028', vr: 'FD', value: [0] },
    { tag: '0018602a', vr: 'FD', value: [0] },
    { tag: '0018602c', vr: 'FD', value: [delta] },
    { tag: '0018602e', vr: 'FD', value: [delta] },
  ];
}

/** Elements that say who and when. */
function patientElements(clip: PhantomClip, patient: PhantomPatient): WrittenElement[] {
  const animal = { dog: 'Canis lupus familiaris', cat: 'Felis catus', horse: 'Equus caballus' }[
    clip.wish.species
  ];
  return [
    { tag: '00100010', vr: 'PN', value: patient.name },
    { tag: '00100020', vr: 'LO', value: patient.number },
    { tag: '00100030', vr: 'DA', value: patient.birthDate },
    { tag: '00100040', vr: 'CS', value: patient.sex },
    { tag: '00101030', vr: 'DS', value: String(clip.wish.weightKg) },
    { tag: '00102201', vr: 'LO', value: animal },
    {
      tag: '00102203',
      vr: 'CS',
      value: patient.neutered === null ? '' : patient.neutered ? 'ALTERED' : 'UNALTERED',
    },
    { tag: '00102292', vr: 'LO', value: patient.breed },
    { tag: '00102293', vr: 'SQ', value: [] },
    { tag: '00102294', vr: 'SQ', value: [] },
    { tag: '00102297', vr: 'PN', value: patient.keeper },
    { tag: '00102299', vr: 'LO', value: '' },
    ...(patient.keeper === '' ? [] : [{ tag: '00102298', vr: 'CS', value: 'OWNER' }]),
    { tag: '00080020', vr: 'DA', value: patient.scanDate },
    { tag: '00080023', vr: 'DA', value: patient.scanDate },
    { tag: '00080030', vr: 'TM', value: patient.scanTime },
    { tag: '00080033', vr: 'TM', value: patient.scanTime },
  ];
}

function imageElements(clip: PhantomClip, coding: FrameCoding): WrittenElement[] {
  const { fan, wish, truth, frames } = clip;
  const lossy = coding.coding === 'jpeg';
  const lossyBytes = lossy ? coding.frames.reduce((sum, frame) => sum + frame.length, 0) : 0;
  const ratio = lossy ? (fan.widthPx * fan.heightPx * frames.length) / Math.max(1, lossyBytes) : 1;
  return [
    { tag: '00180040', vr: 'IS', value: String(Math.round(1000 / wish.frameTimeMs)) },
    { tag: '00181063', vr: 'DS', value: String(wish.frameTimeMs) },
    { tag: '00181088', vr: 'IS', value: String(Math.round(wish.heartRate)) },
    { tag: '00186011', vr: 'SQ', value: [regionItem(clip)] },
    { tag: '00186060', vr: 'FL', value: truth.rWaveTimesMs },
    { tag: '00280002', vr: 'US', value: [1] },
    { tag: '00280004', vr: 'CS', value: 'MONOCHROME2' },
    { tag: '00280008', vr: 'IS', value: String(frames.length) },
    { tag: '00280009', vr: 'AT', value: [0x00181063] },
    { tag: '00280010', vr: 'US', value: [fan.heightPx] },
    { tag: '00280011', vr: 'US', value: [fan.widthPx] },
    { tag: '00280100', vr: 'US', value: [8] },
    { tag: '00280101', vr: 'US', value: [8] },
    { tag: '00280102', vr: 'US', value: [7] },
    { tag: '00280103', vr: 'US', value: [0] },
    { tag: '00280301', vr: 'CS', value: 'YES' },
    { tag: '00282110', vr: 'CS', value: lossy ? '01' : '00' },
    ...(lossy
      ? [
          { tag: '00282112', vr: 'DS', value: ratio.toFixed(2) },
          { tag: '00282114', vr: 'CS', value: 'ISO_10918_1' },
        ]
      : []),
  ];
}

/** Writes a phantom as an Ultrasound Multi-frame Image with one 2D region, frame time, R waves and an invented patient. */
export function phantomDicom(
  clip: PhantomClip,
  patient: PhantomPatient,
  coding: FrameCoding,
  random: Random,
): Uint8Array {
  const elements: WrittenElement[] = [
    { tag: '00080005', vr: 'CS', value: 'ISO_IR 192' },
    { tag: '00080008', vr: 'CS', value: 'ORIGINAL\\PRIMARY\\TTE\\0001' },
    { tag: '00080016', vr: 'UI', value: '1.2.840.10008.5.1.4.1.1.3.1' },
    { tag: '00080018', vr: 'UI', value: uid(random) },
    { tag: '00080050', vr: 'SH', value: '' },
    { tag: '00080060', vr: 'CS', value: 'US' },
    { tag: '00080070', vr: 'LO', value: 'Chordae phantom' },
    { tag: '00080090', vr: 'PN', value: '' },
    { tag: '00081090', vr: 'LO', value: 'Phantom 1' },
    { tag: '0020000d', vr: 'UI', value: uid(random) },
    { tag: '0020000e', vr: 'UI', value: uid(random) },
    { tag: '00200010', vr: 'SH', value: '1' },
    { tag: '00200011', vr: 'IS', value: '1' },
    { tag: '00200013', vr: 'IS', value: '1' },
    { tag: '00200020', vr: 'CS', value: '' },
    { tag: '00200060', vr: 'CS', value: '' },
    ...patientElements(clip, patient),
    ...imageElements(clip, coding),
  ];
  return writePart10(elements, coded(clip, coding));
}
