import type { FlagWords } from './flag-words';
import { numberText as num } from './flag-words';
import { observationNames } from './names';
import { listOf } from './numbers';

const signs = (codes: unknown): string =>
  Array.isArray(codes)
    ? listOf(codes.map((c) => observationNames[c as keyof typeof observationNames] ?? String(c)))
    : '';

/**
 * Act-now sentences: the finding, the doubt, what to do and what not to do, no doses; `{call}` becomes the telephone
 * sentence. Causes with opposite treatments never share a text: where two are possible at once, the text sends to the
 * telephone instead of giving the advice that would harm in the other.
 */
export const actNowWords: Record<string, FlagWords> = {
  BREATHLESS_STOP_SCANNING: (d) => ({
    sentence: `Stop scanning: ${signs(d.signs) || `${num(d.breathingRate, 0)} breaths a minute with effort`}. Oxygen, quiet, no holding down on the side or back. Treat first; a few seconds of lungs and fluid spaces can wait until it copes. Do not wait for our answer. {call}`,
    reasons: [`Ticked: ${signs(d.signs) || 'breathing with effort at a fast rate'}.`],
  }),
  COLLAPSE_TREAT_CIRCULATION: (d) => ({
    sentence:
      d.fluidSeen === true
        ? 'Collapse, weak pulses or pale gums: treat the circulation now. Fluid round the heart was ticked: its own message says what to do about it. {call}'
        : `Collapse, weak pulses or pale gums: treat the circulation now.${d.echoBegun === true ? '' : ' No echo yet.'} Look for fluid round the heart; if there is none, take an ECG. {call}`,
    reasons: ['Ticked: collapse, or weak pulses or pale gums.'],
  }),
  TAMPONADE_POSSIBLE: (d) => {
    const found = `Fluid round the heart with ${d.wallCollapse === true ? 'collapse of a right-sided wall' : 'weakness or poor pulses'}: may be tamponade.`;
    if (d.organSuspected === true) {
      return {
        sentence: `${found} An abdominal organ in the sac is suspected as well: no needle before that is excluded. A diuretic can worsen it. {call}`,
        reasons: ['Fluid and its effect were ticked; an organ in the sac was ticked too.'],
      };
    }
    if (d.tornAtriumPossible === true) {
      return {
        sentence: `${found} In this dog a torn left atrium is possible too, and that changes when to drain: read its message first. A diuretic can worsen it. {call}`,
        reasons: ['Fluid and its effect were ticked, in a light dog with a murmur or a large left atrium.'],
      };
    }
    const clotting =
      d.bleedingPossible === true
        ? 'Check clotting first: bleeding or rodent poison was ticked.'
        : 'Check clotting if bleeding or rodent poison is possible.';
    return {
      sentence: `${found} Draining relieves it; do not delay it to look for a mass. A diuretic can worsen it. If you do not drain yourself, arrange transfer now. ${clotting} {call}`,
      reasons: [
        'Ticked: fluid round the heart, and collapse of a wall, weakness or poor pulses.',
        'High pressure on the right side can hide wall collapse.',
      ],
    };
  },
  TORN_ATRIUM_POSSIBLE: (d) => ({
    sentence: `${d.clot === true ? 'Clot' : 'New fluid'} round the heart in a dog of ${num(d.weightKg, 1)} kg with a murmur or a large left atrium: may be a torn left atrium. ${d.organSuspected === true ? 'An organ in the sac is suspected: no needle before that is excluded.' : 'Drain only if it is going down; fluid may not come, and bleeding may restart.'} Call before draining if time allows. {call}`,
    reasons: ['Light dog, known murmur or large left atrium, fluid or clot not known before.'],
  }),
  CAT_PERICARDIAL_FLUID: (d) => ({
    sentence: `Fluid round the heart of a cat: usually part of heart failure. Look at the left atrium and the lungs. A needle is seldom needed; ${d.organSuspected === true ? 'an abdominal organ in the sac is suspected: no needle' : 'rule out abdominal organs in the sac before any'}. {call}`,
    reasons: [
      d.distressed === true
        ? 'Ticked: fluid round the heart, with distress or weakness.'
        : 'Ticked: fluid round the heart.',
    ],
  }),
  ORGAN_IN_SAC_NO_NEEDLE: () => ({
    sentence:
      'An abdominal organ or fat in the pericardial sac is suspected: do not put a needle in. Radiograph or CT when stable. {call}',
    reasons: ['Ticked: organ or fat in the sac.'],
  }),
  PLEURAL_FLUID_WITH_EFFORT: () => ({
    sentence:
      'Fluid round the lungs with breathing effort: tapping the chest comes before more scanning or radiographs. Keep a sample. Then look at the left atrium. {call}',
    reasons: ['Ticked: fluid round the lungs, and breathing with effort or distress.'],
  }),
  FITS_LEFT_HEART_FAILURE: (d) => {
    const atrium =
      typeof d.laAo === 'number'
        ? `LA:Ao ${num(d.laAo, 2)}`
        : typeof d.laLongMm === 'number'
          ? `left atrium ${num(d.laLongMm, 1)} mm`
          : 'large left atrium by eye';
    if (d.tamponadePossible === true) {
      return {
        sentence: `Many B-lines on ${d.oneSide === true ? 'one side' : 'both sides'} and a large left atrium (${atrium}) in distress fit left heart failure, but fluid round the heart with weakness was seen too, and the two are treated in opposite ways: the message on tamponade goes first. Oxygen and quiet. Call before any drug for failure. {call}`,
        reasons: ['Distress, B-lines, large left atrium; fluid round the heart as well.'],
      };
    }
    if (d.oneSide === true) {
      return {
        sentence: `Distress, many B-lines on one side and a large left atrium (${atrium}): may be left heart failure, lung disease, or both. Treat on your own judgement; no fluid bolus. Look at the other side when it can bear it. Recheck breathing every hour. {call}`,
        reasons: ['Distress, B-lines on one side, large left atrium.'],
      };
    }
    return {
      sentence: `Distress, many B-lines on both sides and a large left atrium (${atrium}): fits left heart failure. Start treatment on your own judgement; no fluid bolus. Radiograph only when it can bear it. Recheck breathing every hour. {call}`,
      reasons: ['Distress, many B-lines on both sides, left atrium at or above the act-now threshold.'],
    };
  },
  LEFT_HEART_FAILURE_LESS_LIKELY: (d) => ({
    sentence: `Distress and B-lines, but the left atrium is not large${typeof d.laAo === 'number' ? ` (LA:Ao ${num(d.laAo, 2)})` : ''} and no diuretic was given: heart failure is less likely, not excluded (sudden chord rupture, arrhythmia, fluid given, early case). Think of lung disease, bleeding, airway. {call}`,
    reasons: ['Distress, many B-lines, left atrium not large, no diuretic in 24 hours.'],
  }),
  LUNG_NOT_SLIDING: () => ({
    sentence:
      'Distress, no B-lines, no fluid, and the lung does not slide: air in the chest or airway disease is possible. Confirm at several points. Do not scan on. {call}',
    reasons: ['Ticked: distress; lungs without B-lines or fluid; no sliding.'],
  }),
  THROMBOEMBOLISM_POSSIBLE: (d) => ({
    sentence: `${d.limb === true ? 'Cold, painful limb without pulse' : 'Sudden paralysis'}: aortic thrombo-embolism is possible. Pain relief first. Assess for heart failure before any fluids. {call}`,
    reasons: [d.limb === true ? 'Ticked: cold, painful limb.' : 'Ticked: sudden paralysis.'],
  }),
  CLOT_OR_SMOKE_IN_ATRIUM: (d) => ({
    sentence: `${d.kind === 'smoke' ? 'Swirling smoke' : d.kind === 'floating' ? 'A floating clot' : 'A fixed clot'} in the left atrium: high risk of embolism. Handle gently; no anaesthesia today without a cardiologist's word. Speak to us the same day. {call}`,
    reasons: ['Ticked: clot or smoke in the left atrium.'],
  }),
  CAT_VERY_LARGE_ATRIUM: (d) => ({
    sentence: `Very large left atrium${typeof d.laAo === 'number' ? ` (LA:Ao ${num(d.laAo, 2)})` : ' by eye'} in a cat: high risk of failure or clot. Avoid fluids, long-acting steroid and anaesthesia until discussed. Count sleeping breaths. {call}`,
    reasons: ['LA:Ao at or above the act-now threshold for cats, or very large by eye.'],
  }),
  RIGHT_HEART_PRESSURE_LOAD: (d) => ({
    sentence: `${typeof d.gradientMmHg === 'number' ? `Tricuspid gradient ${num(d.gradientMmHg, 0)} mmHg` : 'Flat septum and a right ventricle as large as the left'} with fainting or distress: fits severe pressure load of the right heart. Oxygen, calm; fluids with caution. Look for worms, clot, lung disease. {call}`,
    reasons: ['Right-sided pressure signs together with fainting, weakness or distress.'],
  }),
  CAVAL_SYNDROME_POSSIBLE: () => ({
    sentence:
      'Worms in the right heart with collapse or dark urine: caval syndrome is possible. It needs removal, not drugs alone. Arrange transfer. {call}',
    reasons: ['Ticked: worms in the right heart, with collapse, weak pulses or dark urine.'],
  }),
  RHYTHM_WITH_WEAKNESS: (d) => ({
    sentence: `${typeof d.rate === 'number' ? `Heart rate ${num(d.rate, 0)}/min` : 'Runs of wide beats'} with weakness: record an ECG now; treat the rhythm or its cause (potassium, poison, blocked urethra). Measurements from this scan are not graded. {call}`,
    reasons: ['Rate outside the act-now bounds, or runs of wide beats, with weakness or fainting.'],
  }),
  OPEN_DUCT_POSSIBLE: (d) => ({
    sentence: `Continuous murmur or duct flow in ${d.ageMonths === null ? 'a dog of unknown age' : 'a young dog'}: an open duct is possible, and it is curable. ${d.oedema === true ? 'With wet lungs this cannot wait.' : 'Do not wait for growth.'} ${d.blueHindEnd === true ? 'The hind end is blue: it must not be closed; call first.' : 'A blue hind end would mean: do not close it.'} {call}`,
    reasons: ['Ticked: continuous murmur, or flow through a duct.'],
  }),
  STENOSIS_WITH_FAINTING: (d) => ({
    sentence: `${d.outlet === 'aortic' ? 'Aortic' : 'Pulmonic'} gradient ${num(d.gradientMmHg, 0)} mmHg (above ${num(d.above, 0)}) with fainting: no exertion, no anaesthesia before advice. {call}`,
    reasons: [`Gradient above ${num(d.above, 0)} mmHg, and fainting or collapse ticked.`],
  }),
  ENDOCARDITIS_POSSIBLE: () => ({
    sentence:
      'Fever, a new murmur and a lump on a valve: endocarditis is possible. Blood cultures before antibiotics if it can wait an hour. {call}',
    reasons: ['Ticked: fever, new murmur, lump on a valve.'],
  }),
  HORSE_NOT_RIDDEN: (d) => ({
    sentence: `Not ridden or driven, and handled by experienced people only, until read: ${horseReasons(d.reasons)}.${d.stayClear === true ? ' Collapse or a tear of the aortic root: stay clear of the horse.' : ''} {call}`,
    reasons: [`Rider safety: ${horseReasons(d.reasons)}.`],
  }),
};

const HORSE: Record<string, string> = {
  'ventricular-beats': 'complex ventricular beats',
  'heart-failure': 'heart failure',
  'pulmonary-hypertension': 'pulmonary hypertension',
  'aortic-root-tear': 'tear of the aortic root suspected',
  collapse: 'collapse',
};

function horseReasons(codes: unknown): string {
  return Array.isArray(codes) ? listOf(codes.map((c) => HORSE[String(c)] ?? String(c))) : 'reason not given';
}
