import type { Recipe } from './recipe';

/**
 * Horses: sizes of the left atrium as they are, over the aortic annulus, and brought to 500 kg (exponents 1/3 for lengths
 * and 2/3 for areas from memory). Shown beside the breed's published values, never graded.
 */
export const horse: readonly Recipe[] = [
  {
    code: 'la-long-500',
    name: 'LA (500 kg)',
    kind: 'atrium',
    unit: 'mm',
    species: ['horse'],
    from: ['la-long'],
    formula: { is: 'to-500-kg', exponent: 1 / 3, by: 1 },
  },
  {
    code: 'la-area-max',
    name: 'LA area',
    kind: 'atrium',
    unit: 'cm2',
    species: ['horse'],
    from: ['la-area-max'],
    formula: { is: 'as-measured' },
  },
  {
    code: 'la-area-500',
    name: 'LA area (500 kg)',
    kind: 'atrium',
    unit: 'cm2',
    species: ['horse'],
    from: ['la-area-max'],
    formula: { is: 'to-500-kg', exponent: 2 / 3, by: 1 },
  },
  {
    code: 'la-area-annulus',
    name: 'LA area over annulus²',
    kind: 'atrium',
    unit: 'ratio',
    species: ['horse'],
    from: ['la-area-max', 'ao-annulus'],
    // The annulus is measured in mm, the area in cm².
    formula: { is: 'ratio-square', by: 100 },
  },
  {
    code: 'ao-annulus',
    name: 'Aortic annulus',
    kind: 'size',
    unit: 'mm',
    species: ['horse'],
    from: ['ao-annulus'],
    formula: { is: 'as-measured' },
  },
  {
    code: 'heart-rate',
    name: 'Heart rate',
    kind: 'inflow',
    unit: '/min',
    species: ['horse', 'ferret'],
    from: ['heart-rate'],
    formula: { is: 'as-measured' },
  },
];
