import type { Species } from '@chordae/contract';
import type { Repeatability } from './limits/limit-types';
import { repeatabilityEntries } from './limits/limits-data';

/** Coefficient of variation of a quantity between examinations, or null where none was found. */
export function repeatability(species: Species, index: string): Repeatability | null {
  return repeatabilityEntries.find((r) => r.index === index && r.species === species) ?? null;
}

/** Half-width of a 95 % interval in units of the standard deviation (normal distribution). */
const Z95 = 1.96;

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
