import type { Flag } from '@chordae/contract';
import type { CaseFacts } from '../case-facts';
import { allAnswered, answered, answerIds, reading } from '../case-facts';
import { makeFlag } from '../make-flag';
import { lungSites } from '../rules/lungs';
import type { Signs } from './signs';
import { fastWithEffort } from './signs';
import { ACT_NOW_MEMORY, ACT_NOW_SOURCE, thresholds } from './thresholds';

const DISTRESS = [
  'scanning-stopped',
  'open-mouth-breathing',
  'blue-gums',
  'cannot-lie',
  'breathing-effort',
] as const;

/** Open-mouth breathing, blue gums, cannot lie, a fast rate with effort, or the sender's switch: stop scanning. */
function breathless(facts: CaseFacts): Flag[] {
  const ticks = (['open-mouth-breathing', 'blue-gums', 'cannot-lie', 'scanning-stopped'] as const).filter(
    (c) => answered(facts, c, 'yes'),
  );
  const fast = fastWithEffort(facts);
  if (ticks.length === 0 && !fast) return [];
  const rate = reading(facts, 'breathing-rate');
  return [
    makeFlag({
      rule: 'act-now.breathless',
      code: 'BREATHLESS_STOP_SCANNING',
      level: 'act-now',
      urgency: 'emergency',
      data: { signs: [...ticks], breathingRate: fast && rate ? rate.value : null },
      measurementIds: fast && rate ? rate.ids : [],
      observationIds: answerIds(facts, ...DISTRESS),
      sources: [fast && ticks.length === 0 ? ACT_NOW_MEMORY : ACT_NOW_SOURCE],
    }),
  ];
}

/** Pleural fluid with effort: tap before more scanning. */
function pleural(facts: CaseFacts, signs: Signs): Flag[] {
  if (!signs.pleuralFluid || !signs.distress) return [];
  return [
    makeFlag({
      rule: 'act-now.pleural-fluid',
      code: 'PLEURAL_FLUID_WITH_EFFORT',
      level: 'act-now',
      urgency: 'emergency',
      data: {},
      observationIds: answerIds(facts, 'pleural-fluid', ...DISTRESS),
      sources: [ACT_NOW_SOURCE],
    }),
  ];
}

/** Distress, many B-lines and a large left atrium: fits left heart failure, less firmly with lines on one side only. */
function failure(facts: CaseFacts, signs: Signs): Flag[] {
  const oneSide = !signs.manyBLinesBothSides && answered(facts, 'b-lines', 'many-one-side') !== null;
  if (!signs.distress || !(signs.manyBLinesBothSides || oneSide) || !signs.laLarge) return [];
  return [
    makeFlag({
      rule: 'act-now.left-failure',
      code: 'FITS_LEFT_HEART_FAILURE',
      level: 'act-now',
      urgency: 'emergency',
      data: {
        laAo: signs.laToAorta?.value ?? null,
        laLongMm: signs.laLongMm?.value ?? null,
        // B-lines on one side with a large atrium: it may be failure, and lung disease as well; an emergency all the same.
        oneSide,
        // Advice against tamponade's is held back while both are possible: the words then say 'call first'.
        tamponadePossible: tamponadeHolds(facts, signs),
      },
      measurementIds: [
        ...(signs.laToAorta?.ids ?? []),
        ...(signs.laLongMm?.ids ?? []),
        ...(lungSites(facts)?.ids ?? []),
      ],
      observationIds: answerIds(facts, 'b-lines', 'la-by-eye', ...DISTRESS),
      sources: [signs.laToAorta || signs.laLongMm ? ACT_NOW_MEMORY : ACT_NOW_SOURCE],
    }),
  ];
}

/** Fluid round a dog's heart with a collapsing wall or weakness: its treatment is opposite to that of failure. */
export function tamponadeHolds(facts: CaseFacts, signs: Signs): boolean {
  const weak = signs.weakness || answered(facts, 'wall-collapse', 'yes') !== null;
  return facts.species === 'dog' && signs.pericardialFluid && weak;
}

/** Distress and B-lines with a left atrium that is not large, no diuretic before: failure less likely, not excluded. */
function failureLessLikely(facts: CaseFacts, signs: Signs): Flag[] {
  const lines = answered(facts, 'b-lines', 'many-both-sides', 'many-one-side');
  if (!signs.distress || !lines || !signs.laNotLarge || facts.input.state.diuretic24h !== 'no') return [];
  return [
    makeFlag({
      rule: 'act-now.failure-less-likely',
      code: 'LEFT_HEART_FAILURE_LESS_LIKELY',
      level: 'act-now',
      urgency: 'emergency',
      data: { laAo: signs.laToAorta?.value ?? null },
      measurementIds: signs.laToAorta?.ids ?? [],
      observationIds: answerIds(facts, 'b-lines', 'la-by-eye', ...DISTRESS),
      sources: [ACT_NOW_SOURCE],
    }),
  ];
}

/** Distress, dry lungs, no fluid, lung not sliding: air in the chest or airway disease. */
function airInChest(facts: CaseFacts, signs: Signs): Flag[] {
  const dry = allAnswered(facts, 'b-lines', 'none', 'few') && allAnswered(facts, 'pleural-fluid', 'none');
  if (!signs.distress || !dry || !answered(facts, 'lung-sliding', 'no')) return [];
  return [
    makeFlag({
      rule: 'act-now.no-sliding',
      code: 'LUNG_NOT_SLIDING',
      level: 'act-now',
      urgency: 'emergency',
      data: {},
      observationIds: answerIds(facts, 'b-lines', 'pleural-fluid', 'lung-sliding', ...DISTRESS),
      sources: [ACT_NOW_SOURCE],
    }),
  ];
}

/** A very large left atrium in a cat, with or without signs: high risk of failure or clot. */
function catLargeAtrium(facts: CaseFacts, signs: Signs): Flag[] {
  if (facts.species !== 'cat') return [];
  const measured =
    signs.laToAorta !== null && signs.laToAorta.value >= thresholds.catLaAoVeryLargeFrom - 1e-9;
  const byEye = answered(facts, 'la-by-eye', 'very-large');
  if (!measured && !byEye) return [];
  return [
    makeFlag({
      rule: 'act-now.cat-very-large-atrium',
      code: 'CAT_VERY_LARGE_ATRIUM',
      level: 'act-now',
      urgency: 'urgent',
      data: {
        laAo: measured ? (signs.laToAorta?.value ?? null) : null,
        signs: signs.distress || signs.weakness,
      },
      measurementIds: measured ? (signs.laToAorta?.ids ?? []) : [],
      observationIds: byEye ? [byEye.id] : [],
      sources: [ACT_NOW_MEMORY],
    }),
  ];
}

/** Rules about breathing, lungs, pleura and the left atrium. */
export function breathingRules(facts: CaseFacts, signs: Signs): Flag[] {
  return [
    ...breathless(facts),
    ...pleural(facts, signs),
    ...failure(facts, signs),
    ...failureLessLikely(facts, signs),
    ...airInChest(facts, signs),
    ...catLargeAtrium(facts, signs),
  ];
}
