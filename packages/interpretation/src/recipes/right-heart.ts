import type { MeasurementCode } from '@chordae/contract';
import type { Recipe } from './recipe';

/** Scaled by the body weight (Feldhutter 2022 and the series of 211 dogs): value / kg^exponent. */
function perKg(
  code: string,
  from: MeasurementCode,
  name: string,
  unit: string,
  exponent: number,
  kind: Recipe['kind'],
): Recipe {
  return {
    code,
    name,
    kind,
    unit: `${unit}/kg^${exponent}`,
    species: ['dog'],
    from: [from],
    formula: { is: 'per-kg', exponent, by: 1 },
  };
}

/** Right ventricle, pulmonary artery and its flow, dogs. */
export const rightHeart: readonly Recipe[] = [
  { ...perKg('tapsen', 'tapse', 'TAPSEn', 'mm', 0.285, 'inflow'), cv: 'tapse' },
  perKg('s-prime-n', 's-prime-rv', 'S′n', 'cm/s', 0.186, 'inflow'),
  perKg('rveda-n', 'rv-area-d', 'RVEDAn', 'cm2', 0.665, 'size'),
  perKg('rvesa-n', 'rv-area-s', 'RVESAn', 'cm2', 0.695, 'size'),
  {
    code: 'rveda-index',
    name: 'RVEDA index',
    kind: 'size',
    unit: 'cm2/m2',
    species: ['dog'],
    from: ['rv-area-d'],
    formula: { is: 'per-surface' },
  },
  {
    code: 'rv-fac',
    name: 'RV FAC',
    kind: 'function',
    unit: '%',
    species: ['dog'],
    from: ['rv-area-d', 'rv-area-s'],
    formula: { is: 'less' },
  },
  {
    code: 'rpad',
    name: 'RPAD',
    kind: 'inflow',
    unit: '%',
    species: ['dog'],
    from: ['rpa-max', 'rpa-min'],
    formula: { is: 'less' },
    cv: 'velocity',
  },
  {
    code: 'mpa-ao',
    name: 'MPA:Ao',
    kind: 'size',
    unit: 'ratio',
    species: ['dog'],
    from: ['mpa', 'ao-beside-mpa'],
    formula: { is: 'ratio' },
    cv: 'velocity',
  },
  {
    code: 'pa-at',
    name: 'AT',
    kind: 'inflow',
    unit: 'ms',
    species: ['dog'],
    from: ['pa-at'],
    formula: { is: 'as-measured' },
  },
  {
    code: 'at-et',
    name: 'AT:ET',
    kind: 'inflow',
    unit: 'ratio',
    species: ['dog'],
    from: ['pa-at', 'pa-et'],
    formula: { is: 'ratio' },
    cv: 'velocity',
  },
  {
    code: 'rvidd',
    name: 'RVIDd',
    kind: 'size',
    unit: 'mm',
    species: ['cat'],
    from: ['rvidd'],
    formula: { is: 'as-measured' },
  },
];
