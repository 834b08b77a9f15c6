import type { WordData } from '@chordae/contract';
import { nameOf, viewNames } from './names';
import { formatNumber } from './numbers';

const n = (value: unknown, decimals: number): string =>
  typeof value === 'number' ? formatNumber(value, decimals) : 'not given';

/** Why an index is not graded, or what to be careful about. */
const cautions: Record<string, (d: WordData) => string> = {
  LIMIT_NOT_AVAILABLE: () => 'Limits not available: shown, not graded.',
  ADULT_LIMITS_NOT_APPLIED: (d) => `Not graded: at ${n(d.ageMonths, 0)} months adult limits do not hold.`,
  BREED_OUTSIDE_GENERAL_LIMITS: () =>
    'Not graded: general limits do not hold in this breed, and none of its own is available.',
  COMPARISON_ONLY: () => 'Shown beside published values for comparison, not graded.',
  WEIGHT_MISSING: () => 'Not assessable without a body weight.',
  WEIGHT_GUESSED: (d) => `The weight of ${n(d.weightKg, 1)} kg was guessed.`,
  WEIGHT_NOT_LEAN: () => 'Obese or with fluid in the belly: weight-normalised sizes read falsely small.',
  VIEW_DOUBTFUL: (d) => `${nameOf(String(d.measurement))} was measured on a view that was judged doubtful.`,
  VIEW_NOT_GIVEN: () => 'The view was not given: the limit belongs to the short axis.',
  LA_AO_NOT_SHORT_AXIS: () =>
    'Not graded: not measured in the short axis; a long-axis ratio is normally about 1.8 to 2.4.',
  AGE_NOT_KNOWN: () => 'Age not known: the limits hold for adults.',
  BREED_NOT_KNOWN_GENERAL_LIMITS: (d) =>
    d.breedText
      ? `General limits used: no limits are known for '${String(d.breedText)}'.`
      : 'Breed not known: general limits used.',
  LIMIT_FROM_MEMORY: (d) =>
    d.status === 'memory'
      ? 'The limit is from memory and still to be checked.'
      : 'The limit is common practice, without a source of its own.',
  FUNCTION_NOT_GRADED_ALPHA2: () =>
    'Not graded: after an alpha-2 sedative neither FS nor EF tells about the muscle (Johard 2018).',
  FUNCTION_NOT_GRADED_FLAT_SEPTUM: () =>
    'Not graded: with a flat septum FS tells nothing about the left ventricle.',
  FUNCTION_NOT_GRADED_ARRHYTHMIA: () =>
    'Not graded: with an arrhythmia single beats mislead; average five or more.',
  NOT_GRADED_EXTREME_RATE: () => 'Not graded: heart rate or rhythm is itself the emergency.',
  SEDATION_NOT_STATED: () => 'Sedation was not stated: after an alpha-2 sedative this would not be graded.',
  SEDATED_FUNCTION: () => 'Sedated: function and load differ from the awake animal.',
  SEDATED_SIZES: () => 'After an alpha-2 sedative cavities read larger (Johard 2018).',
  GRADIENT_READS_LOW_SEDATED: () => 'Sedated: gradients read low.',
  GRADE_STARTS_HIGHER: (d) =>
    `The scale speaks from ${n(d.from, d.unit === 'm/s' ? 1 : 0)} ${String(d.unit)}; below it nothing is graded.`,
  GRADIENT_NEEDS_ALIGNMENT: () => 'True only if the beam was in line with the flow.',
  GRADIENT_RISES_WHILE_GROWING: () => 'Still growing: gradients rise until adult.',
  DRY_PATIENT: (d) =>
    d.kind === 'wall' ? 'Dehydrated: walls read thicker.' : 'Dehydrated: cavities read smaller.',
  DIURETIC_SHRINKS_ATRIUM: () => 'A diuretic was given: it shrinks the left atrium within hours.',
  FUNCTION_IN_MITRAL_LEAK: () => "With a mitral leak a 'normal' FS or EF may be failing muscle.",
  WALL_VIEW_NOT_GIVEN: () =>
    'View not given: in cats the long axis reads about 0.4 mm thicker than the short axis.',
  WALL_M_MODE: () => 'M-mode: in cats with thick walls M-mode reads the septum about 1 mm thinner than 2-D.',
  WALL_LONG_AXIS_READS_THICKER: () => 'Long axis: reads about 0.4 mm thicker than the short axis in cats.',
  ONE_SEGMENT_ONLY: (d) => `Only ${nameOf(String(d.measurement))} was given: other segments may be thicker.`,
  CAT_WALL_WEIGHT_MATTERS: (d) =>
    `At ${n(d.weightKg, 1)} kg body weight matters to wall thickness; no sourced limit by weight is available.`,
  MIXED_VIEWS_OR_METHODS: () => 'The two measurements come from different views or methods.',
  EPSS_HARD_TO_REPEAT: () => 'EPSS was neither repeatable nor reliable in general practice (Kennedy 2026).',
  TEICHHOLZ_ASSUMES_SHAPE: () =>
    'Teichholz takes the ventricle for an ellipsoid and overestimates a round one: shown, never graded.',
  PROXIMAL_VELOCITY_TAKEN_OFF: () =>
    'The velocity before the narrowing was above 1 m/s: its share was taken off the gradient.',
  FLOWS_EXCHANGED_WITH_DUCT: () =>
    'With an open duct the two outlets are exchanged: flow through the lungs then leaves by the aorta.',
  PRESSURE_NEEDS_CALM_AND_REPEATS: () => 'One reading proves nothing: a calm animal, several readings.',
  RATIO_BY_PIXELS: () =>
    'Measured as a ratio of pixels on a picture without a scale, such as a filmed screen: less exact than sizes in mm.',
  BNP_BELONGS_TO_ITS_ASSAY: () =>
    'The limit belongs to one assay; fluid in the chest and distress are judged by others.',
  BNP_ASSAY_NOT_GIVEN: () =>
    'How NT-proBNP was measured is not given: shown, not graded. The published limit is for a laboratory’s number only.',
  BNP_OTHER_ASSAY: () =>
    'NT-proBNP by another kind of test than the published limit is for: shown, not graded. Read it by the limits of its own test.',
  EXTRA_BEATS_VARY_BETWEEN_DAYS: () => 'Extra beats differ widely from day to day.',
  OTHER_LIMITS_DISAGREE: (d) =>
    `Another published set (Esser 2020, 6,097 dogs) puts ${n(d.valueMm, 1)} mm ${String(d.there)} its limits of ${n(d.lowerMm, 1)} to ${n(d.upperMm, 1)} mm for this weight.`,
};

/** Every caution code that has words. */
export const cautionCodesInWords: readonly string[] = Object.keys(cautions);

/** A caution in words; an unknown code is still said. */
export function sayCaution(caution: { code: string; data: WordData }): string {
  return cautions[caution.code]?.(caution.data) ?? `A caution without a sentence yet: ${caution.code}.`;
}

/** The name of a view: `sayView('lap-4ch')` is 'left apical, four chambers'. */
export function sayView(view: string): string {
  return viewNames[view as keyof typeof viewNames] ?? view;
}
