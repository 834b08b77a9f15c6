import type { Interpretation } from '@chordae/contract';
import { listOf } from './numbers';
import { saySource } from './say-flag';

const SCHEMES: Record<string, string> = {
  'acvim-mmvd-2019': 'Mitral valve disease, ACVIM 2019',
  'mitral-score-2021': 'Mitral severity score, Vezzosi 2021',
  'acvim-cat-2020': 'Feline cardiomyopathy, ACVIM 2020 (wording from memory)',
};

const CODES: Record<string, string> = {
  'echo-criteria-b2-met':
    'echo criteria of B2 are met; B2 only with a murmur of grade 3 or more and never in failure',
  'echo-criteria-b2-not-met': 'echo criteria of B2 are not both met',
  'fits-b2': 'fits B2',
  'suggests-c-or-d-by-history': 'suggests C or D by history',
  'b1-or-b2-needs-atrium-judged':
    "B1 or B2: a reader must judge the atrium, because no sourced limit for 'moderate' exists",
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
};

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
