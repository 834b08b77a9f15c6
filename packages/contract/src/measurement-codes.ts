import { z } from 'zod';

/** What a measurement is measured in. Canonical units only; typed units are converted on entry and kept as typed. */
export const canonicalUnit = z.enum(['mm', 'm/s', 'ms', '/min', 'ml', 'cm2', 'ratio', '%']);
export type CanonicalUnit = z.infer<typeof canonicalUnit>;

/** Every quantity that may be measured or typed, with its canonical unit and the views it belongs to. */
export const measurementCodes = {
  lvidd: { unit: 'mm', name: 'LVIDd', views: ['rps-short-papillary', 'rps-short-chordae', 'rps-long-4ch'] },
  lvids: { unit: 'mm', name: 'LVIDs', views: ['rps-short-papillary', 'rps-short-chordae', 'rps-long-4ch'] },
  ivsd: { unit: 'mm', name: 'IVSd', views: ['rps-short-papillary', 'rps-short-chordae', 'rps-long-4ch'] },
  ivss: { unit: 'mm', name: 'IVSs', views: ['rps-short-papillary', 'rps-short-chordae', 'rps-long-4ch'] },
  lvwd: { unit: 'mm', name: 'LVWd', views: ['rps-short-papillary', 'rps-short-chordae', 'rps-long-4ch'] },
  lvws: { unit: 'mm', name: 'LVWs', views: ['rps-short-papillary', 'rps-short-chordae', 'rps-long-4ch'] },
  'wall-max-d': {
    unit: 'mm',
    name: 'Thickest wall d',
    views: ['rps-long-4ch', 'rps-short-papillary', 'rps-long-outflow'],
  },
  'la-sax': { unit: 'mm', name: 'LA (short axis)', views: ['rps-short-aortic'] },
  'ao-sax': { unit: 'mm', name: 'Ao (short axis)', views: ['rps-short-aortic'] },
  'la-long': { unit: 'mm', name: 'LA (long axis)', views: ['rps-long-4ch'] },
  epss: { unit: 'mm', name: 'EPSS', views: ['rps-short-mitral'] },
  'lv-edv': { unit: 'ml', name: 'EDV (discs)', views: ['rps-long-4ch', 'lap-4ch'] },
  'lv-esv': { unit: 'ml', name: 'ESV (discs)', views: ['rps-long-4ch', 'lap-4ch'] },
  'ao-vmax': { unit: 'm/s', name: 'Aortic Vmax', views: ['subcostal-outflow', 'lap-5ch'] },
  'pa-vmax': { unit: 'm/s', name: 'Pulmonic Vmax', views: ['rps-short-pulmonary', 'lcr-base'] },
  'tr-vmax': { unit: 'm/s', name: 'TR Vmax', views: ['lap-4ch', 'lcr-base'] },
  'mr-vmax': { unit: 'm/s', name: 'MR Vmax', views: ['lap-4ch'] },
  'mitral-e': { unit: 'm/s', name: 'E', views: ['lap-4ch'] },
  'mitral-a': { unit: 'm/s', name: 'A', views: ['lap-4ch'] },
  ivrt: { unit: 'ms', name: 'IVRT', views: ['lap-4ch', 'lap-5ch'] },
  tapse: { unit: 'mm', name: 'TAPSE', views: ['lap-4ch'] },
  'heart-rate': { unit: '/min', name: 'Heart rate', views: [] },
  'breathing-rate': { unit: '/min', name: 'Breathing rate', views: [] },
  vhs: { unit: 'ratio', name: 'VHS', views: [] },
} as const satisfies Record<string, { unit: CanonicalUnit; name: string; views: readonly string[] }>;

export type MeasurementCode = keyof typeof measurementCodes;
export const measurementCode = z.enum(
  Object.keys(measurementCodes) as [MeasurementCode, ...MeasurementCode[]],
);
