import type { WrittenElement, WrittenFrames } from '@chordae/dicom';
import { encodeRle, uidFrom, writePart10 } from '@chordae/dicom';
import { exactCos, exactSin } from '@chordae/units';
import type { PhantomClip } from './clip';
import type { Random } from './random';
import type { PhantomRegion, ScreenPicture } from './screen-picture';

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

function coded(picture: ScreenPicture, coding: FrameCoding): WrittenFrames {
  if (coding.coding === 'jpeg') return coding;
  if (coding.coding === 'native') return { coding: 'native', frames: picture.frames };
  return { coding: 'rle', frames: picture.frames.map((frame) => encodeRle([frame], picture.widthPx)) };
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

/** What the file of a clip says about its picture. */
export function clipPicture(clip: PhantomClip): ScreenPicture {
  const { fan, wish, truth, frames } = clip;
  const box = fanBox(clip);
  const delta = 1 / fan.pxPerCm;
  return {
    widthPx: fan.widthPx,
    heightPx: fan.heightPx,
    frames,
    mode: '2d',
    species: wish.species,
    weightKg: wish.weightKg,
    heartRate: wish.heartRate,
    frameTimeMs: wish.frameTimeMs,
    rWaveTimesMs: truth.rWaveTimesMs,
    regions: [
      {
        ...box,
        format: 1,
        type: 1,
        flags: 2,
        unitX: 3,
        unitY: 3,
        deltaX: delta,
        deltaY: delta,
        referenceX: Math.round(fan.apexX - box.x0),
        referenceY: Math.round(fan.apexY + fan.faceCm * fan.pxPerCm - box.y0),
      },
    ],
  };
}

function regionItem(region: PhantomRegion): WrittenElement[] {
  return [
    { tag: '00186012', vr: 'US', value: [region.format] },
    { tag: '00186014', vr: 'US', value: [region.type] },
    { tag: '00186016', vr: 'UL', value: [region.flags] },
    { tag: '00186018', vr: 'UL', value: [region.x0] },
    { tag: '0018601a', vr: 'UL', value: [region.y0] },
    { tag: '0018601c', vr: 'UL', value: [region.x1] },
    { tag: '0018601e', vr: 'UL', value: [region.y1] },
    { tag: '00186020', vr: 'SL', value: [region.referenceX] },
    { tag: '00186022', vr: 'SL', value: [region.referenceY] },
    { tag: '00186024', vr: 'US', value: [region.unitX] },
    { tag: '00186026', vr: 'US', value: [region.unitY] },
    { tag: '00186028', vr: 'FD', value: [0] },
    { tag: '0018602a', vr: 'FD', value: [0] },
    { tag: '0018602c', vr: 'FD', value: [region.deltaX] },
    { tag: '0018602e', vr: 'FD', value: [region.deltaY] },
  ];
}

/** Elements that say who and when. */
function patientElements(picture: ScreenPicture, patient: PhantomPatient): WrittenElement[] {
  const animal = { dog: 'Canis lupus familiaris', cat: 'Felis catus', horse: 'Equus caballus' }[
    picture.species
  ];
  return [
    { tag: '00100010', vr: 'PN', value: patient.name },
    { tag: '00100020', vr: 'LO', value: patient.number },
    { tag: '00100030', vr: 'DA', value: patient.birthDate },
    { tag: '00100040', vr: 'CS', value: patient.sex },
    { tag: '00101030', vr: 'DS', value: String(picture.weightKg) },
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

function imageElements(picture: ScreenPicture, coding: FrameCoding): WrittenElement[] {
  const { widthPx, heightPx, frames, frameTimeMs, rWaveTimesMs } = picture;
  const lossy = coding.coding === 'jpeg';
  const lossyBytes = lossy ? coding.frames.reduce((sum, frame) => sum + frame.length, 0) : 0;
  const ratio = lossy ? (widthPx * heightPx * frames.length) / Math.max(1, lossyBytes) : 1;
  const moving = frameTimeMs !== null;
  return [
    ...(moving
      ? [
          { tag: '00180040', vr: 'IS', value: String(Math.round(1000 / frameTimeMs)) },
          { tag: '00181063', vr: 'DS', value: decimal(frameTimeMs) },
        ]
      : []),
    { tag: '00181088', vr: 'IS', value: String(Math.round(picture.heartRate)) },
    { tag: '00186011', vr: 'SQ', value: picture.regions.map(regionItem) },
    ...(rWaveTimesMs.length > 0 ? [{ tag: '00186060', vr: 'FL', value: rWaveTimesMs }] : []),
    { tag: '00280002', vr: 'US', value: [1] },
    { tag: '00280004', vr: 'CS', value: 'MONOCHROME2' },
    ...(moving
      ? [
          { tag: '00280008', vr: 'IS', value: String(frames.length) },
          { tag: '00280009', vr: 'AT', value: [0x00181063] },
        ]
      : []),
    { tag: '00280010', vr: 'US', value: [heightPx] },
    { tag: '00280011', vr: 'US', value: [widthPx] },
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

/** A decimal string of at most 16 letters (PS3.5 6.2). */
function decimal(value: number): string {
  const whole = String(value);
  return whole.length <= 16 ? whole : value.toPrecision(10);
}

/** Fourth value of the image type: the sum of what the picture shows (PS3.3 C.8.5.6.1.1). */
const shows = { '2d': '0001', 'm-mode': '0002', cw: '0004', pw: '0008' } as const;

/** Writes a phantom clip as an Ultrasound Multi-frame Image with one 2D region, frame time, R waves and an invented patient. */
export function phantomDicom(
  clip: PhantomClip,
  patient: PhantomPatient,
  coding: FrameCoding,
  random: Random,
): Uint8Array {
  return pictureDicom(clipPicture(clip), patient, coding, random);
}

/** Writes a clip or a single picture (M-mode, spectral Doppler) with its calibrated regions. */
export function pictureDicom(
  picture: ScreenPicture,
  patient: PhantomPatient,
  coding: FrameCoding,
  random: Random,
): Uint8Array {
  const sopClass =
    picture.frameTimeMs === null ? '1.2.840.10008.5.1.4.1.1.6.1' : '1.2.840.10008.5.1.4.1.1.3.1';
  const elements: WrittenElement[] = [
    { tag: '00080005', vr: 'CS', value: 'ISO_IR 192' },
    { tag: '00080008', vr: 'CS', value: `ORIGINAL\\PRIMARY\\TTE\\${shows[picture.mode]}` },
    { tag: '00080016', vr: 'UI', value: sopClass },
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
    ...patientElements(picture, patient),
    ...imageElements(picture, coding),
  ];
  return writePart10(elements, coded(picture, coding));
}
