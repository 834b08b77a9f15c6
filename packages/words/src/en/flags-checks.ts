import type { FlagWords } from './flag-words';
import { numberText as n, valueText as s } from './flag-words';
import { nameOf, viewNames } from './names';

/** Contradictions and slips: what is wrong, what is likely, and that nothing is computed from it. */
export const checkWords: Record<string, FlagWords> = {
  DO_YOU_SEE_THIS: (d) => ({
    sentence: `The picture computing suggests '${String(d.observation).replace(/-/g, ' ')}'. Do you see it? Nothing follows from it until you answer.`,
    reasons: ['Only a machine gave this answer.'],
  }),
  VALUE_IMPOSSIBLE: (d) => ({
    sentence: `${nameOf(String(d.measurement))} ${d.value === null ? 'without a number' : s(d.value)} ${s(d.unit)} cannot be right (possible: ${s(d.min)} to ${s(d.max)} ${s(d.unit)}).${typeof d.likely === 'number' ? ` Is it ${n(d.likely, 2)} ${s(d.unit)}?` : ''} Nothing is computed from it.`,
    reasons: ['Outside the range that any animal treated here can have.'],
  }),
  UNIT_WRONG_FOR_QUANTITY: (d) => ({
    sentence: `${nameOf(String(d.measurement))} is not measured in ${s(d.unit)}. Nothing is computed from it.`,
    reasons: ['Unit and quantity do not belong together.'],
  }),
  IMPOSSIBLE_FOR_WEIGHT: (d) => ({
    sentence: `${nameOf(String(d.measurement))} ${n(d.valueMm, 1)} mm cannot be right for ${typeof d.weightKg === 'number' ? `${n(d.weightKg, 1)} kg` : `a ${s(d.species)}`} (expected about ${n(d.expectedMm, 0)} mm).${typeof d.likelyMm === 'number' ? ` Is it ${n(d.likelyMm, 1)} mm? It looks like ${d.likelyMm > Number(d.valueMm) ? 'cm typed as mm' : 'mm typed as cm'}.` : ' Is the weight right?'} Nothing is computed from it until it is answered.`,
    reasons: ['Less than a third or more than three times what the weight lets expect.'],
  }),
  LVIDS_NOT_BELOW_LVIDD: (d) => ({
    sentence: `Left ventricle ${n(d.small, 1)} mm in systole is not smaller than ${n(d.large, 1)} mm in diastole: one of the two is wrong, or they are exchanged. Nothing is computed from either.`,
    reasons: ['A ventricle does not grow in systole.'],
  }),
  ESV_NOT_BELOW_EDV: (d) => ({
    sentence: `Systolic volume ${n(d.small, 1)} ml is not smaller than the diastolic ${n(d.large, 1)} ml: one of the two is wrong, or they are exchanged. Nothing is computed from either.`,
    reasons: ['A ventricle does not grow in systole.'],
  }),
  LA_AO_IMPLAUSIBLE: (d) => ({
    sentence: `LA:Ao of ${n(d.ratio, 2)} (${n(d.laMm, 1)} mm / ${n(d.aoMm, 1)} mm) is hard to believe: are both in the same unit, and both in the short axis? Nothing is computed from it until it is answered.`,
    reasons: ['Below 0.6 or above 5.'],
  }),
  METHODS_DIFFER: (d) => ({
    sentence: `${nameOf(String(d.measurement))} reads ${n(d.first, 1)} and ${n(d.second, 1)} ${s(d.unit)} by two ways (${way(d.firstMethod, d.firstView)}; ${way(d.secondMethod, d.secondView)}): more than a quarter apart. One of the cuts may be oblique.`,
    reasons: ['The first is used, because its view and method are the usual ones.'],
  }),
  WALL_THINNER_IN_SYSTOLE: (d) => ({
    sentence: `${nameOf(String(d.measurement))} ${n(d.diastoleMm, 1)} mm is ${n(d.systoleMm, 1)} mm in systole: a wall that thins is rare. Are the two exchanged?`,
    reasons: ['Healthy walls thicken in systole.'],
  }),
  E_A_LIKELY_FUSED: (d) => ({
    sentence: `At ${n(d.rate, 0)}/min E and A are usually fused in cats (above about 190/min): are the two waves really apart? E:A is not computed.`,
    reasons: ['Petric 2012: separate below 180/min, fused above 190/min.'],
  }),
  WEIGHT_IMPOSSIBLE: (d) => ({
    sentence: `A weight of ${d.weightKg === null ? 'no number' : s(d.weightKg)} kg is taken for none: check number and unit. Nothing weight-normalised is computed.`,
    reasons: ['Taken are 0.05 to 1,500 kg.'],
  }),
  WEIGHT_UNIT_SLIP_POSSIBLE: (d) => ({
    sentence: `Ventricle and aorta are both ${d.small === true ? 'small' : 'large'} for ${n(d.weightKg, 1)} kg and both right for ${n(d.likelyKg, 1)} kg: ${d.small === true ? 'was the weight read in lb?' : 'was a weight in kg taken for lb?'} Weight-normalised sizes stand under this doubt.`,
    reasons: ['Both sizes lie outside what the weight lets expect, on the same side.'],
  }),
  WEIGHT_UNUSUAL: (d) => ({
    sentence: `${n(d.weightKg, 1)} kg is unusual for a ${s(d.species)} (usual: ${s(d.usualFromKg)} to ${s(d.usualToKg)} kg).${typeof d.likelyKg === 'number' ? ` Is it ${n(d.weightKg, 1)} lb, that is ${n(d.likelyKg, 1)} kg?` : ' Is the unit right?'} Weight-normalised sizes stand under this doubt.`,
    reasons: ['Outside the usual adult weights of the species (common practice).'],
  }),
};

function way(method: unknown, view: unknown): string {
  const m = method === '2d' ? '2-D' : method === 'm-mode' ? 'M-mode' : 'method not given';
  const v = typeof view === 'string' ? (viewNames[view as keyof typeof viewNames] ?? view) : 'view not given';
  return `${m}, ${v}`;
}
