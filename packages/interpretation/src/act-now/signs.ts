import type { ObservationCode } from '@chordae/contract';
import type { CaseFacts } from '../case-facts';
import { allAnswered, answered, reading, readingForWarning } from '../case-facts';
import { above, atLeast } from '../compare';
import { lungSites, wetOnBothSides } from '../rules/lungs';
import { thresholds } from './thresholds';

/** What the act-now rules read off a case. Only what a person gave counts: never a picture's computing alone. */
export interface Signs {
  distress: boolean;
  weakness: boolean;
  pericardialFluid: boolean;
  pleuralFluid: boolean;
  manyBLinesBothSides: boolean;
  laLarge: boolean;
  /** A person's answers or measurements say that it is not large, and none says that it is. */
  laNotLarge: boolean;
  organSuspected: boolean;
  laToAorta: { value: number; ids: string[] } | null;
  laLongMm: { value: number; ids: string[] } | null;
}

function any(facts: CaseFacts, ...codes: ObservationCode[]): boolean {
  return codes.some((code) => answered(facts, code, 'yes') !== null);
}

/** The sender's word for it, open mouth, blue gums, cannot lie, or more than 60 breaths a minute with effort. */
export function inDistress(facts: CaseFacts): boolean {
  return (
    any(facts, 'scanning-stopped', 'open-mouth-breathing', 'blue-gums', 'cannot-lie') || fastWithEffort(facts)
  );
}

/** More than 60 breaths a minute with effort (threshold from memory). */
export function fastWithEffort(facts: CaseFacts): boolean {
  const rate = reading(facts, 'breathing-rate');
  return (
    any(facts, 'breathing-effort') &&
    rate !== null &&
    !rate.computedOnly &&
    above(rate.value, thresholds.breathingRateAbove)
  );
}

/** Effort alone is distress enough where fluid or wet lungs were seen as well. */
function distressOrEffort(facts: CaseFacts): boolean {
  return inDistress(facts) || any(facts, 'breathing-effort');
}

function personRatio(facts: CaseFacts): { value: number; ids: string[] } | null {
  const la = readingForWarning(facts, 'la-sax');
  const ao = readingForWarning(facts, 'ao-sax');
  if (!la || !ao || ao.value <= 0 || la.computedOnly || ao.computedOnly) return null;
  if ([la, ao].some((r) => r.view !== null && r.view !== 'rps-short-aortic')) return null;
  return { value: la.value / ao.value, ids: [...la.ids, ...ao.ids] };
}

function personLong(facts: CaseFacts): { value: number; ids: string[] } | null {
  const la = readingForWarning(facts, 'la-long');
  return la && !la.computedOnly ? { value: la.value, ids: la.ids } : null;
}

function atrium(facts: CaseFacts): Pick<Signs, 'laLarge' | 'laNotLarge' | 'laToAorta' | 'laLongMm'> {
  // The thresholds are a dog's and a cat's; in other species only what a person saw counts.
  const hasThresholds = facts.species === 'dog' || facts.species === 'cat';
  const laToAorta = hasThresholds ? personRatio(facts) : null;
  const laLongMm = hasThresholds ? personLong(facts) : null;
  const from = facts.species === 'cat' ? thresholds.catLaAoFailureFrom : thresholds.dogLaAoFailureFrom;
  const normalTo = facts.species === 'cat' ? 1.5 : 1.6;
  const byEye = answered(facts, 'la-by-eye', 'large', 'very-large') !== null;
  const large =
    byEye ||
    (laToAorta !== null && atLeast(laToAorta.value, from)) ||
    (facts.species === 'cat' && laLongMm !== null && above(laLongMm.value, thresholds.catLaLongMmAbove));
  // That an atrium is not large is concluded only from measurements that nothing contradicts.
  const trusted = reading(facts, 'la-sax') !== null && reading(facts, 'ao-sax') !== null;
  const measuredNormal = trusted && laToAorta !== null && !atLeast(laToAorta.value, normalTo);
  const laNotLarge =
    !large && (measuredNormal || (laToAorta === null && allAnswered(facts, 'la-by-eye', 'not-large')));
  return { laLarge: large, laNotLarge, laToAorta, laLongMm };
}

/** Reads the signs once for all rules. */
export function signsOf(facts: CaseFacts): Signs {
  return {
    distress: distressOrEffort(facts),
    weakness: any(facts, 'collapse', 'weak-pulses-or-pale'),
    pericardialFluid: answered(facts, 'pericardial-fluid', 'small', 'moderate', 'large') !== null,
    pleuralFluid: answered(facts, 'pleural-fluid', 'small', 'moderate', 'large') !== null,
    manyBLinesBothSides:
      answered(facts, 'b-lines', 'many-both-sides') !== null || wetOnBothSides(lungSites(facts)),
    organSuspected: any(facts, 'organ-in-sac'),
    ...atrium(facts),
  };
}
