import type { CanonicalUnit, MeasurementCode, measurementCodes, ViewId } from '@chordae/contract';

/** Bounds outside which a value cannot be that quantity in any animal treated here (common practice). */
interface Quantity {
  unit: CanonicalUnit;
  min: number;
  max: number;
  views: readonly ViewId[];
}

const LV: readonly ViewId[] = [
  'rps-short-papillary',
  'rps-short-chordae',
  'rps-long-4ch',
  'eq-r-short-papillary',
  'eq-r-4ch',
];

/**
 * Unit, possible range and own views of each quantity. The contract's table carries a schema library with it, so the
 * engine keeps its own; the type below makes the compiler refuse a unit that differs from the contract's.
 */
const quantities: {
  readonly [C in MeasurementCode]: Quantity & { unit: (typeof measurementCodes)[C]['unit'] };
} = {
  lvidd: { unit: 'mm', min: 1, max: 200, views: LV },
  lvids: { unit: 'mm', min: 0.2, max: 150, views: LV },
  ivsd: { unit: 'mm', min: 0.5, max: 80, views: LV },
  ivss: { unit: 'mm', min: 0.5, max: 100, views: LV },
  lvwd: { unit: 'mm', min: 0.5, max: 80, views: LV },
  lvws: { unit: 'mm', min: 0.5, max: 100, views: LV },
  'wall-max-d': {
    unit: 'mm',
    min: 0.5,
    max: 80,
    views: ['rps-long-4ch', 'rps-short-papillary', 'rps-long-outflow'],
  },
  'la-sax': { unit: 'mm', min: 1, max: 250, views: ['rps-short-aortic'] },
  'ao-sax': { unit: 'mm', min: 1, max: 150, views: ['rps-short-aortic'] },
  'la-long': { unit: 'mm', min: 1, max: 250, views: ['rps-long-4ch', 'eq-r-4ch', 'eq-l-2ch'] },
  epss: { unit: 'mm', min: 0, max: 80, views: ['rps-short-mitral'] },
  'lv-edv': { unit: 'ml', min: 0.1, max: 3000, views: ['rps-long-4ch', 'lap-4ch'] },
  'lv-esv': { unit: 'ml', min: 0.05, max: 2500, views: ['rps-long-4ch', 'lap-4ch'] },
  'ao-vmax': { unit: 'm/s', min: 0.1, max: 10, views: ['subcostal-outflow', 'lap-5ch'] },
  'pa-vmax': { unit: 'm/s', min: 0.1, max: 10, views: ['rps-short-pulmonary', 'lcr-base'] },
  'tr-vmax': { unit: 'm/s', min: 0.1, max: 8, views: ['lap-4ch', 'lcr-base'] },
  'mr-vmax': { unit: 'm/s', min: 0.1, max: 10, views: ['lap-4ch'] },
  'mitral-e': { unit: 'm/s', min: 0.05, max: 5, views: ['lap-4ch'] },
  'mitral-a': { unit: 'm/s', min: 0.05, max: 5, views: ['lap-4ch'] },
  ivrt: { unit: 'ms', min: 5, max: 400, views: ['lap-4ch', 'lap-5ch'] },
  tapse: { unit: 'mm', min: 0.5, max: 100, views: ['lap-4ch'] },
  'heart-rate': { unit: '/min', min: 5, max: 500, views: [] },
  'breathing-rate': { unit: '/min', min: 1, max: 400, views: [] },
  vhs: { unit: 'ratio', min: 4, max: 25, views: [] },
  'lv-length-d': { unit: 'mm', min: 2, max: 400, views: ['rps-long-4ch', 'lap-4ch'] },
  'la-min-sax': { unit: 'mm', min: 1, max: 250, views: ['rps-short-aortic'] },
  'la-m-mode-max': { unit: 'mm', min: 1, max: 250, views: ['rps-short-aortic'] },
  'la-m-mode-min': { unit: 'mm', min: 0.5, max: 250, views: ['rps-short-aortic'] },
  'la-volume': { unit: 'ml', min: 0.1, max: 4000, views: ['lap-4ch', 'rps-long-4ch'] },
  'la-area-max': { unit: 'cm2', min: 0.1, max: 400, views: ['eq-r-4ch', 'rps-long-4ch'] },
  'laa-vmax': { unit: 'm/s', min: 0.02, max: 3, views: ['lcr-base', 'rps-short-aortic'] },
  'la-strain': { unit: '%', min: 0, max: 100, views: ['lap-4ch'] },
  'ao-annulus': { unit: 'mm', min: 1, max: 150, views: ['rps-long-outflow', 'eq-r-lvot'] },
  'pulmonary-vein': { unit: 'mm', min: 0.3, max: 80, views: ['rps-long-4ch'] },
  'pulmonary-artery-beside-vein': { unit: 'mm', min: 0.3, max: 80, views: ['rps-long-4ch'] },
  mpa: { unit: 'mm', min: 1, max: 150, views: ['rps-short-pulmonary'] },
  'ao-beside-mpa': { unit: 'mm', min: 1, max: 150, views: ['rps-short-pulmonary'] },
  'rpa-max': { unit: 'mm', min: 0.3, max: 100, views: ['rps-short-pulmonary'] },
  'rpa-min': { unit: 'mm', min: 0.2, max: 100, views: ['rps-short-pulmonary'] },
  rvidd: { unit: 'mm', min: 0.5, max: 150, views: ['rps-long-4ch', 'lap-4ch', 'eq-r-4ch'] },
  'rv-area-d': { unit: 'cm2', min: 0.1, max: 200, views: ['lap-4ch'] },
  'rv-area-s': { unit: 'cm2', min: 0.05, max: 200, views: ['lap-4ch'] },
  'lvot-vmax': { unit: 'm/s', min: 0.1, max: 8, views: ['subcostal-outflow', 'lap-5ch'] },
  'pr-vmax': { unit: 'm/s', min: 0.1, max: 6, views: ['rps-short-pulmonary', 'lcr-base'] },
  'duct-vmax': { unit: 'm/s', min: 0.1, max: 8, views: ['lcr-base', 'rps-short-pulmonary'] },
  'pa-at': { unit: 'ms', min: 5, max: 400, views: ['rps-short-pulmonary', 'lcr-base'] },
  'pa-et': { unit: 'ms', min: 30, max: 900, views: ['rps-short-pulmonary', 'lcr-base'] },
  'e-prime': { unit: 'cm/s', min: 0.5, max: 60, views: ['lap-4ch'] },
  's-prime-rv': { unit: 'cm/s', min: 0.5, max: 80, views: ['lap-4ch'] },
  aapse: { unit: 'mm', min: 0.2, max: 60, views: ['lap-5ch', 'rps-long-outflow'] },
  'mapse-free-wall': { unit: 'mm', min: 0.2, max: 60, views: ['lap-4ch'] },
  'mapse-septum': { unit: 'mm', min: 0.2, max: 60, views: ['lap-4ch'] },
  'vti-lvot': { unit: 'cm', min: 0.5, max: 80, views: ['subcostal-outflow', 'lap-5ch'] },
  'vti-rvot': { unit: 'cm', min: 0.5, max: 80, views: ['rps-short-pulmonary', 'lcr-base'] },
  'd-lvot': { unit: 'mm', min: 1, max: 120, views: ['rps-long-outflow'] },
  'd-rvot': { unit: 'mm', min: 1, max: 120, views: ['rps-short-pulmonary'] },
  rlad: { unit: 'ratio', min: 0, max: 8, views: [] },
  'systolic-pressure': { unit: 'mmHg', min: 20, max: 350, views: [] },
  'nt-probnp': { unit: 'pmol/l', min: 0, max: 20000, views: [] },
  t4: { unit: 'nmol/l', min: 0.1, max: 600, views: [] },
  potassium: { unit: 'mmol/l', min: 1, max: 15, views: [] },
  creatinine: { unit: 'umol/l', min: 5, max: 3000, views: [] },
  'packed-cell-volume': { unit: '%', min: 3, max: 85, views: [] },
  'sleeping-breathing-rate': { unit: '/min', min: 1, max: 200, views: [] },
  'vpc-24h': { unit: 'count', min: 0, max: 250000, views: [] },
  'la-ao-ratio': { unit: 'ratio', min: 0.3, max: 8, views: ['rps-short-aortic'] },
  'fs-ratio': { unit: '%', min: 0, max: 95, views: LV },
  'b-lines-l1': { unit: 'count', min: 0, max: 60, views: ['lung-points'] },
  'b-lines-l2': { unit: 'count', min: 0, max: 60, views: ['lung-points'] },
  'b-lines-l3': { unit: 'count', min: 0, max: 60, views: ['lung-points'] },
  'b-lines-l4': { unit: 'count', min: 0, max: 60, views: ['lung-points'] },
  'b-lines-r1': { unit: 'count', min: 0, max: 60, views: ['lung-points'] },
  'b-lines-r2': { unit: 'count', min: 0, max: 60, views: ['lung-points'] },
  'b-lines-r3': { unit: 'count', min: 0, max: 60, views: ['lung-points'] },
  'b-lines-r4': { unit: 'count', min: 0, max: 60, views: ['lung-points'] },
};

/** Canonical unit of a quantity. `unitOf('lvidd')` is 'mm'. */
export function unitOf(code: MeasurementCode): CanonicalUnit {
  return quantities[code]?.unit ?? 'ratio';
}

/** The views a quantity is measured on, the usual one first. */
export function viewsFor(code: MeasurementCode): readonly ViewId[] {
  return quantities[code]?.views ?? [];
}

/** Smallest and largest possible value, canonical unit. */
export function possibleRange(code: MeasurementCode): { min: number; max: number } {
  return quantities[code] ?? { min: 0, max: 0 };
}

/** Every quantity the engine knows. */
export const quantityCodes = Object.keys(quantities) as MeasurementCode[];
