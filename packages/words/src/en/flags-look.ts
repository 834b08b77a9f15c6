import type { WordData } from '@chordae/contract';
import type { FlagWords } from './flag-words';
import { numberText as n, valueText as s } from './flag-words';
import { indexNames, nameOf, valueNames } from './names';
import { capital, formatBeside, formatWithUnit, listOf } from './numbers';

/** ' (from 1.6 enlarged)', and the doubt where the value lies within measuring error of its limit. */
function beside(d: WordData): string {
  const bound = typeof d.bound === 'number' ? d.bound : null;
  const unit = typeof d.unit === 'string' ? d.unit : '';
  const value = typeof d.value === 'number' ? formatWithUnit(d.value, unit, bound) : 'not given';
  const limit =
    bound === null
      ? ''
      : ` (limit ${formatWithUnit(bound, unit)}${d.own === true ? " of the breed's own" : ''})`;
  return `${value}${limit}`;
}

const doubt = (d: WordData): string =>
  d.closeness === 'within-error' ? ' This is within measuring error of the limit.' : '';

function outside(text: (d: WordData) => string): FlagWords {
  return (d) => ({
    sentence: `${text(d)}${doubt(d)}`,
    reasons: [
      `${nameOf(String(d.index))} ${beside(d)}.`,
      ...(d.closeness === 'within-error'
        ? ['Repeating the measurement could put it on the other side of the limit.']
        : []),
    ],
  });
}

const indexFull = (d: WordData): string => capital(indexNames[String(d.index)]?.full ?? String(d.index));

const GRADES: Record<string, string> = {
  mild: 'mild',
  moderate: 'moderate',
  severe: 'severe',
  'very-severe': 'very severe',
  none: 'none',
};

function gradient(where: string, extra: string): FlagWords {
  return (d) => ({
    sentence: `${where} gradient ${n(d.value, 0)} mmHg: ${GRADES[String(d.grade)] ?? s(d.grade)} on the scale of ${s(d.scale)}. Other scales cut elsewhere. ${extra}`,
    reasons: [`4 × velocity² = ${n(d.value, 1)} mmHg.`, `Scale: ${s(d.scale)}.`],
  });
}

const CRITERIA: Record<string, string> = {
  'la-ao': 'left atrium',
  lviddn: 'left ventricle',
  murmur: 'murmur of grade 3 or more',
  'never-in-failure': 'never in failure',
  vhs: 'heart score (VHS) above 10.5',
};

const criteria = (codes: unknown): string =>
  Array.isArray(codes) ? listOf(codes.map((c) => CRITERIA[String(c)] ?? String(c))) : '';

const MIMICS: Record<string, string> = {
  dehydration: 'dehydration',
  'septal-bulge': 'a septal bulge near the base',
  hypertension: 'high blood pressure (measure it)',
  hyperthyroidism: 'hyperthyroidism (T4)',
  acromegaly: 'acromegaly',
  'transient-thickening': 'transient thickening',
  'thick-papillary-muscles': 'thick papillary muscles alone',
};

/** Which of the mimics' numbers were given; silent for answers of an engine that did not say. */
function mimicsGiven(d: WordData): string {
  if (d.pressureMmHg === undefined || d.t4NmolPerL === undefined) return '';
  const method = typeof d.pressureMethod === 'string' ? valueNames[d.pressureMethod] : undefined;
  const pressure =
    d.pressureMmHg === null
      ? null
      : `blood pressure ${n(d.pressureMmHg, 0)} mmHg (${method ?? 'method not given'})`;
  const t4 = d.t4NmolPerL === null ? null : `T4 ${n(d.t4NmolPerL, 1)} nmol/l (not graded here)`;
  const given = [pressure, t4].filter((text) => text !== null);
  const absent = [...(pressure ? [] : ['blood pressure']), ...(t4 ? [] : ['T4'])];
  const first = given.length > 0 ? ` Given: ${listOf(given)}.` : '';
  return absent.length > 0 ? `${first} Not given: ${listOf(absent)}.` : first;
}

function catWall(d: WordData, text: string): { sentence: string; reasons: string[] } {
  const mimics = Array.isArray(d.mimics)
    ? listOf(
        d.mimics.map((m) =>
          m === 'hypertension' && typeof d.pressureMmHg === 'number'
            ? 'high blood pressure'
            : (MIMICS[m] ?? m),
        ),
        'or',
      )
    : '';
  const dry = d.dry === true ? ' This cat is dry or bled, and that alone can thicken walls.' : '';
  return {
    sentence: `Thickest wall ${n(d.valueMm, 1)} mm: ${text}${doubt(d)} The same picture can come from ${mimics}.${mimicsGiven(d)}${dry}`,
    reasons: [`Band '${s(d.band)}' of ${s(d.scale)}.`],
  };
}

function mitral(d: WordData): { sentence: string; reasons: string[] } {
  const la = typeof d.laAo === 'number' ? formatBeside(d.laAo, Number(d.laAoFrom), 2) : 'not given';
  const lv = typeof d.lviddn === 'number' ? formatBeside(d.lviddn, Number(d.lviddnFrom), 2) : 'not given';
  const met = Array.isArray(d.met) ? d.met : [];
  const unmet = Array.isArray(d.unmet) ? d.unmet : [];
  const missing = Array.isArray(d.missing) ? d.missing : [];
  const fits = met.includes('murmur') && met.includes('never-in-failure') && !unmet.includes('vhs');
  const history = fits
    ? `fits B2 with the murmur of grade ${s(d.murmurGrade)} and never in failure`
    : `echo criteria of B2 are met${missing.includes('never-in-failure') ? '; B2 only if never in failure' : ''}`;
  const murmur =
    typeof d.murmurGrade === 'number' ? `murmur ${s(d.murmurGrade)}/6 given` : 'murmur grade not given';
  const vhs = missing.includes('vhs')
    ? 'VHS not given'
    : unmet.includes('vhs')
      ? 'VHS not above 10.5'
      : 'VHS above 10.5';
  const near =
    d.withinError === true ? ' At least one of the two is within measuring error of its limit.' : '';
  return {
    sentence: `Left atrium ${la} times the aorta (from ${s(d.laAoFrom)} enlarged) and left ventricle ${lv} weight-normalised (from ${s(d.lviddnFrom)}): ${history}; ${murmur}; ${vhs}.${near}`,
    reasons: [
      ...(met.length > 0 ? [`Met: ${criteria(met)}.`] : []),
      ...(unmet.length > 0 ? [`Not met: ${criteria(unmet)}.`] : []),
      ...(missing.length > 0 ? [`Not given: ${criteria(missing)}.`] : []),
      'A left ventricle of 1.7 marks more than a tenth of healthy adult dogs as enlarged, up to half in some breeds (Rishniw & Brown 2022).',
    ],
  };
}

/** What lies on the far side of a limit, for indices without a sentence of their own. */
const MEANINGS: Record<string, string> = {
  'ventricle-round': 'The ventricle is rounder than long: one of the criteria of dilated cardiomyopathy.',
  'atrium-large-at-end-diastole': 'The atrium stays large at the end of diastole.',
  'atrium-failure-group':
    'In the study behind it cats above were in heart failure; it proves no failure by itself.',
  'atrium-large-long-axis': 'The left atrium is large in the long axis.',
  'ventricle-large-long-axis': 'The left ventricle is large in the long axis.',
  'atrium-weak': 'The left atrium empties poorly: a marker of risk.',
  'atrium-large-volume': 'The left atrium is large by volume.',
  'atrium-large-radiograph': 'The left atrium is large on the radiograph.',
  'auricle-slow': 'Blood moves slowly in the auricle: a clot is more likely.',
  'vein-wide': 'The vein is wider than its artery: fits raised pressure in the left atrium.',
  'pulmonary-pressure':
    'Fits raised pulmonary pressure; look at the right ventricle, its septum and the jets.',
  'right-function': 'The right ventricle contracts poorly.',
  'right-large': 'The right ventricle is large for this weight.',
  'relaxation-slow': 'The muscle relaxes slowly; age and a fast rate do this too.',
  'long-axis-weak': 'The ventricle shortens little along its axis.',
  'pressure-high': 'High blood pressure thickens walls and must be told apart from muscle disease.',
  'bnp-high': 'Fits heart muscle disease; it does not tell which.',
  'extra-beats': 'So many extra beats count by themselves, whatever the echo shows.',
  shunt: 'More blood runs through the lungs than through the body: fits a shunt.',
};

/** Flags that ask for a look, and notes. */
export const lookWords: Record<string, FlagWords> = {
  MITRAL_B2_ECHO_CRITERIA_MET: mitral,
  LV_LARGE_DIASTOLE: outside((d) => `${indexFull(d)} is large: ${beside(d)}.`),
  LV_SMALL_DIASTOLE: outside(
    (d) =>
      `${indexFull(d)} is small: ${beside(d)}. Lack of volume, a weight typed in the wrong unit or an oblique cut do this too.`,
  ),
  LV_LARGE_SYSTOLE: outside((d) => `${indexFull(d)} is large: ${beside(d)}.`),
  LV_LARGE_TOY: outside(
    (d) => `Left ventricle of a dog under 5 kg is large: ${beside(d)}, by the exponent 0.332.`,
  ),
  WALL_THICK: outside(
    (d) => `${indexFull(d)} is thick for this weight: ${beside(d)}. Lack of volume thickens walls as well.`,
  ),
  WALL_THIN: outside((d) => `${indexFull(d)} is thin for this weight: ${beside(d)}.`),
  FS_LOW: outside(
    (d) => `Fractional shortening (FS) is low: ${beside(d)}. It depends on load and falls with body size.`,
  ),
  FS_HIGH: outside(
    (d) =>
      `Fractional shortening (FS) is high: ${beside(d)}. A mitral leak, excitement or lack of volume raise it.`,
  ),
  EF_LOW: outside((d) => `Ejection fraction by discs is low: ${beside(d)}.`),
  EPSS_HIGH: outside(
    (d) => `The mitral valve opens far from the septum (EPSS): ${beside(d)}. EPSS is hard to repeat.`,
  ),
  EDVI_HIGH: outside((d) => `Diastolic volume over body surface is high: ${beside(d)}.`),
  ESVI_HIGH: outside((d) => `Systolic volume over body surface is high: ${beside(d)}.`),
  LA_ENLARGED: outside((d) => `Left atrium is enlarged, short axis LA:Ao ${beside(d)}.`),
  LA_LONG_AXIS_ENLARGED: outside((d) => `Left atrium is enlarged in the long axis: ${beside(d)}.`),
  VHS_HIGH: outside((d) => `Vertebral heart score is high: ${beside(d)}. Breeds differ.`),
  TAPSE_LOW: outside(
    (d) =>
      `The tricuspid ring moves little (TAPSE, weight-normalised): ${beside(d)}. Right ventricular function may be reduced.`,
  ),
  E_A_HIGH: outside(
    (d) =>
      `E:A is high: ${beside(d)}. In this study cats above it were in heart failure; it does not prove failure by itself.`,
  ),
  AORTIC_VELOCITY_HIGH: outside(
    (d) => `Aortic velocity is high: ${beside(d)}. Look for obstruction of the outlet, excitement, anaemia.`,
  ),
  PULMONIC_VELOCITY_HIGH: outside(
    (d) =>
      `Pulmonic velocity is high: ${beside(d)}. ${d.species === 'cat' ? 'Probe pressure and excitement do this in healthy cats.' : 'Look for a narrowed outlet; excitement and anaemia do this too.'}`,
  ),
  AORTIC_GRADIENT_GRADED: gradient(
    'Aortic',
    'Low flow, sedation and misalignment read low; excitement, anaemia and a duct read high.',
  ),
  PULMONIC_GRADIENT_GRADED: gradient('Pulmonic', 'Low flow, sedation and misalignment read low.'),
  TRICUSPID_GRADIENT_GRADED: gradient(
    'Tricuspid',
    'It equals pulmonary pressure only without a pulmonic stenosis.',
  ),
  OUTSIDE_LIMIT: outside(
    (d) =>
      `${indexFull(d)} is ${d.side === 'below' ? 'below' : 'above'} its limit: ${beside(d)}. ${MEANINGS[String(d.meaning)] ?? ''}`,
  ),
  OUTFLOW_VELOCITY_EQUIVOCAL: (d) => ({
    sentence: `Aortic velocity ${n(d.value, 2)} m/s lies between ${n(d.from, 1)} and ${n(d.to, 1)}: neither clear nor narrowed by velocity alone. A cardiologist settles it with aligned Doppler and the whole picture.`,
    reasons: ['A screening zone of low authority.'],
  }),
  OUTLET_NOT_CLEARED_YOUNG: (d) => ({
    sentence: `At ${n(d.ageMonths, 0)} months no outlet can be cleared: gradients rise until adult. Repeat from about 12 months.`,
    reasons: ['The age of 12 months is from memory.'],
  }),
  DUCT_JET_SLOW: (d) => ({
    sentence: `The jet through the duct is slow (${n(d.value, 2)} m/s; usually above ${n(d.usualFrom, 0)} in systole): misalignment, or raised pulmonary pressure. Look before anything is closed.`,
    reasons: ['The jet falls as pressures in aorta and lungs come together.'],
  }),
  SAM_WANTS_DOPPLER: () => ({
    sentence: 'Systolic anterior motion was seen: aligned Doppler of the outlet is wanted.',
    reasons: ['SAM narrows the outlet; how much, only a velocity tells.'],
  }),
  LUNG_SITES_BOTH_SIDES: (d) => ({
    sentence: `More than three B-lines at ${n(d.left, 0)} points on the left and ${n(d.right, 0)} on the right: two or more on each side fit water in the lungs from the heart. ${n(d.counted, 0)} of 8 points counted.`,
    reasons: ['Rule of 2017, dogs and cats with sudden breathing trouble.'],
  }),
  LUNG_SITES_MORE_THAN_ONE: (d) => ({
    sentence: `More than three B-lines at ${n(Number(d.left) + Number(d.right), 0)} points: in breathless cats more than one such point fits heart failure (sensitivity 79 %, specificity 83 %). ${n(d.counted, 0)} of 8 points counted.`,
    reasons: ['Rule of 2018, 51 cats.'],
  }),
  CAT_WALL_GREY_ZONE: (d) =>
    catWall(d, 'grey zone between 5 and 6. Weigh body size, family, left atrium and papillary muscles.'),
  CAT_WALL_THICK: (d) => catWall(d, 'thick (from 6). Suggests a hypertrophic phenotype.'),
  CAT_WALL_SEVERE: (d) =>
    catWall(d, 'severely thick (from 9), a risk marker. Suggests a hypertrophic phenotype.'),
  CAT_LA_IN_FAILURE_RANGE: (d) => ({
    sentence: `Left atrium ${n(d.valueMm, 1)} mm in the long axis (above ${n(d.boundMm, 1)}): in the range where failure is often found. Below it failure is not excluded.`,
    reasons: ['A group cut-off, not a diagnosis.'],
  }),
  CAT_OUTFLOW_OBSTRUCTION_POSSIBLE: (d) => ({
    sentence: `Aortic velocity ${n(d.value, 2)} m/s (from ${n(d.bound, 1)}, about ${n(d.gradientMmHg, 0)} mmHg): fits dynamic obstruction if the peak is late. Look for systolic anterior motion of the mitral valve.`,
    reasons: ['The shape of the curve was not assessed.'],
  }),
  CAT_FITS_DILATED_PHENOTYPE: (d) => ({
    sentence: `Left ventricle ${n(d.lvidsMm, 1)} mm in systole with FS ${n(d.fs, 0)} %: fits a dilated phenotype. Ask for diet (taurine).`,
    reasons: ['LVIDs above 14 mm and FS below 28 %.'],
  }),
  DOG_FITS_DILATED_PHENOTYPE: (d) => ({
    sentence: `Large left ventricle (${nameOf(String(d.size))} ${formatWithUnit(Number(d.sizeValue), String(d.sizeUnit))}) that contracts poorly (${nameOf(String(d.weak))} ${n(d.weakValue, 0)} %): suggests a dilated phenotype. It can also come from diet (taurine), a fast rhythm, infection, or a leaking valve or duct.`,
    reasons: ['Two major criteria of the task-force score of 2003 (3 points each; 6 reach it).'],
  }),
  OUTLET_NARROW_WANTS_DOPPLER: () => ({
    sentence: 'The outlet looks narrowed: aligned Doppler is wanted, even before a velocity is high.',
    reasons: ['A waist in the outlet was ticked.'],
  }),
  HOLTER_NAMED: (d) => ({
    sentence: `In this breed (${s(d.breed)}) a 24-hour ECG (Holter) is needed as well: an echo that looks normal does not exclude early disease.`,
    reasons: ['The arrhythmia can come before the echo changes.'],
  }),
  VOLUME_LACK_POSSIBLE: () => ({
    sentence:
      'Small thick ventricle whose cavity closes, in a dry or bled patient: may be lack of volume, not thick muscle. Do not give a diuretic on this picture. Repeat after rehydration.',
    reasons: ['Ticked: cavity closes; dry or bled.'],
  }),
};
