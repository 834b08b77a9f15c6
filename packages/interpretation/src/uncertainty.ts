import type { MeasurementCode, Species } from '@chordae/contract';
import type { Repeatability } from './limits/limit-types';
import { repeatabilityEntries } from './limits/limits-data';

/** Half-width of a 95 % interval in units of the standard deviation (normal distribution). */
export const Z95 = 1.96;

const bySpecies = new Map<Species, Map<string, Repeatability>>();
for (const r of repeatabilityEntries) {
  const own = bySpecies.get(r.species) ?? new Map<string, Repeatability>();
  bySpecies.set(r.species, own.set(r.index, r));
}

/** Coefficient of variation of a quantity between examinations, or null where none was found. */
export function repeatability(species: Species, index: string): Repeatability | null {
  return bySpecies.get(species)?.get(index) ?? null;
}

/** Quantities that share one published repeatability. What is not named here has none: no interval is made up for it. */
const FAMILY: Partial<Record<MeasurementCode, string>> = {
  lvidd: 'linear-lv',
  lvids: 'linear-lv',
  ivsd: 'linear-lv',
  ivss: 'linear-lv',
  lvwd: 'linear-lv',
  lvws: 'linear-lv',
  'wall-max-d': 'linear-lv',
  'lv-length-d': 'linear-lv',
  'la-sax': 'linear-lv',
  'ao-sax': 'linear-lv',
  'la-min-sax': 'linear-lv',
  'ao-annulus': 'linear-lv',
  'la-long': 'la-long',
  'lv-edv': 'edvi',
  'lv-esv': 'esvi',
  'la-volume': 'la-volume',
  'ao-vmax': 'velocity',
  'pa-vmax': 'velocity',
  'tr-vmax': 'velocity',
  'mr-vmax': 'velocity',
  'pr-vmax': 'velocity',
  'lvot-vmax': 'velocity',
  'mitral-e': 'velocity',
  'mitral-a': 'velocity',
  'pa-at': 'velocity',
  'pa-et': 'velocity',
  ivrt: 'velocity',
  'rv-area-d': 'right-heart',
  'rv-area-s': 'right-heart',
  's-prime-rv': 'right-heart',
  tapse: 'tapse',
  'nt-probnp': 'nt-probnp',
};

/** Coefficient of variation of a measured quantity in percent, or null. `measurementCv('dog', 'lvidd')` is 8.8. */
export function measurementCv(species: Species, code: MeasurementCode): number | null {
  const family = FAMILY[code];
  return family === undefined ? null : (repeatability(species, family)?.cvPercent ?? null);
}

/** Repeatability of a measured quantity with its source, or null. */
export function measurementRepeatability(species: Species, code: MeasurementCode): Repeatability | null {
  const family = FAMILY[code];
  return family === undefined ? null : repeatability(species, family);
}

/**
 * 95 % interval of a value whose standard deviation is a share of itself. `relativeInterval(1.6, 10)` is [1.29, 1.91].
 * Repeated beats are not taken to narrow it: what differs between examinations is the cut and the caliper, not the beat.
 */
export function relativeInterval(value: number, cvPercent: number): [number, number] {
  const half = (Z95 * Math.abs(value) * cvPercent) / 100;
  return [value - half, value + half];
}

/** 2.77 × CV: the smallest relative change between two examinations that is more than measuring error (95 %). */
export function smallestChange(value: number, cvPercent: number): number {
  return (2.77 * Math.abs(value) * cvPercent) / 100;
}
