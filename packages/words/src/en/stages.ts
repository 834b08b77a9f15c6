import type { Interpretation } from '@chordae/contract';
import { listOf } from './numbers';
import { saySource } from './say-flag';

const SCHEMES: Record<string, string> = {
  'acvim-mmvd-2019': 'Mitral valve disease, ACVIM 2019',
  'mitral-score-2021': 'Mitral severity score, Vezzosi 2021',
  'acvim-cat-2020': 'Feline cardiomyopathy, ACVIM 2020 (wording from memory)',
  'cat-phenotype-2020': 'Phenotype of the feline heart (ACVIM 2020, wording from memory)',
  'esvc-dcm-2003': 'Dilated cardiomyopathy, task-force score 2003',
  'acvim-ph-2020': 'Probability of pulmonary hypertension, ACVIM 2020 (table from memory)',
};

const CODES: Record<string, string> = {
  'echo-criteria-b2-met':
    'echo criteria of B2 are met; B2 only with a murmur of grade 3 or more and never in failure',
  'echo-criteria-b2-not-met': 'echo criteria of B2 are not both met',
  'fits-b2': 'fits B2',
  'suggests-c-or-d-by-history': 'suggests C or D by history',
  'b1-or-b2-needs-atrium-judged':
    "B1 or B2: a reader must judge the atrium, because no sourced limit for 'moderate' exists",
  'suggests-c-by-signs': 'suggests C: fluid with a large left atrium',
  'suggests-hypertrophic': 'suggests a hypertrophic phenotype, once its mimics are excluded',
  'suggests-restrictive': 'suggests a restrictive phenotype, or one that cannot be told apart',
  'suggests-dilated': 'suggests a dilated phenotype',
  'dcm-score-reached': 'the score is reached: suggests a dilated phenotype',
  'dcm-score-open': 'the score is not reached with what was given, and what is missing could still reach it',
  'dcm-score-not-reached': 'the score is not reached; early disease is not excluded',
  'ph-low': 'low',
  'ph-intermediate': 'intermediate',
  'ph-high': 'high',
  'ph-low-so-far': 'low so far; what was not looked at could raise it',
  'ph-intermediate-so-far': 'intermediate so far; what was not looked at could raise it',
  'score-mild': 'mild',
  'score-moderate': 'moderate',
  'score-severe': 'severe',
  'score-late-stage': 'late stage',
};

const CRITERIA: Record<string, string> = {
  'la-ao': 'LA:Ao',
  lviddn: 'LVIDDN',
  murmur: 'murmur of grade 3 or more',
  'never-in-failure': 'never in failure',
  'failure-before': 'failure before',
  'failure-or-embolism': 'failure or embolism',
  vhs: 'VHS above 10.5',
  'wall-6-or-more': 'wall of 6 mm or more',
  'wall-9-or-more': 'wall of 9 mm or more',
  'fs-30-or-less': 'FS of 30 % or less',
  'clot-or-smoke': 'clot or smoke',
  'la-function': 'function of the left atrium',
  'regional-hypokinesis': 'regional hypokinesis',
  'restrictive-filling': 'restrictive filling',
  'atrium-judged-by-reader': 'atrium judged by a reader',
  'pleural-fluid': 'fluid round the lungs',
  'pericardial-fluid': 'fluid round the heart',
  'atrium-enlarged': 'left atrium enlarged',
  'walls-within-limits': 'walls up to 5 mm',
  'lvids-above-14': 'LVIDs above 14 mm',
  'fs-below-28': 'FS below 28 %',
  'diet-taurine': 'diet (taurine)',
  'lv-size': 'size of the left ventricle',
  'mimics-excluded': 'mimics excluded (hydration, pressure, T4, growth hormone)',
  'filling-pattern': 'filling pattern',
  'lv-dilated': 'left ventricle dilated',
  'sphericity-below-1.65': 'sphericity below 1.65',
  'fs-below-20-or-ef-below-40': 'FS below 20 % or EF below 40 %',
  'arrhythmia-of-breed': 'arrhythmia in a predisposed breed',
  'atrial-fibrillation': 'atrial fibrillation',
  'pep-over-lvet': 'PEP:LVET above 0.4 (not entered here)',
  'epss-high': 'EPSS high',
  'fs-20-to-25': 'FS of 20 to 25 %',
  'ph-site-ventricles': 'signs at the ventricles',
  'ph-site-pulmonary-artery': 'signs at the pulmonary artery',
  'ph-site-right-atrium': 'signs at the right atrium',
  'tricuspid-jet': 'velocity of a tricuspid leak',
};

/** Name of a scheme of stages or scores. */
export function stageSchemeName(scheme: string): string {
  return SCHEMES[scheme] ?? scheme;
}

/** A stage's code in words. */
export function stageText(code: string): string {
  return CODES[code] ?? code;
}

/** Stage codes that have words. */
export const stageCodesInWords: readonly string[] = Object.keys(CODES);

function criterion(code: string): string {
  const [name = code, points] = code.split(':');
  const text =
    name === 'mitral-e'
      ? 'E wave'
      : name === 'fs'
        ? 'FS'
        : name === 'total'
          ? 'total'
          : (CRITERIA[name] ?? name);
  return points === undefined ? text : `${text} ${points} points`;
}

/** A stage in words, with what is met, not met and not given. Never 'is'. */
export function sayStage(stage: Interpretation['stages'][number]): {
  sentence: string;
  reasons: string[];
  sources: string[];
} {
  const part = (title: string, codes: string[]): string[] =>
    codes.length === 0 ? [] : [`${title}: ${listOf(codes.map(criterion))}.`];
  return {
    sentence: `${SCHEMES[stage.scheme] ?? stage.scheme}: ${CODES[stage.code] ?? stage.code}.`,
    reasons: [
      ...part('Met', stage.met),
      ...part('Not met', stage.unmet),
      ...part('Not given', stage.missing),
    ],
    sources: [saySource(stage.source)],
  };
}
