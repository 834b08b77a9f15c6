import type { Flag, Interpretation, SourceRef } from '@chordae/contract';
import type { CaseFacts } from '../case-facts';
import { allAnswered, answered } from '../case-facts';
import { atLeast, below } from '../compare';
import type { Index } from '../indices';
import { makeFlag } from '../make-flag';
import type { Found } from './outside-limits';

type Stage = Interpretation['stages'][number];

const TASK_FORCE: SourceRef = {
  citation:
    'Dukes-McEwan J, Borgarelli M, Tidholm A, Vollmar AC, Haggstrom J. Proposed guidelines for the diagnosis of canine idiopathic dilated cardiomyopathy. J Vet Cardiol 2003;5(2):7-19',
  doi: null,
  status: 'secondary',
};

const SIZES = ['lvidsn', 'lviddn', 'lvids', 'lvidd', 'esvi', 'edvi'] as const;

function graded(found: Found, code: string): Index | null {
  const index = found.get(code);
  return index && index.position !== 'not-graded' ? index : null;
}

/** FS below 20 % or EF below 40 %: the weak ventricle of the task force. */
function weakIndex(found: Found): Index | null {
  const fs = graded(found, 'fs');
  const ef = graded(found, 'ef');
  if (fs && below(fs.value, 20)) return fs;
  return ef && below(ef.value, 40) ? ef : null;
}

/**
 * Dog: a large left ventricle and FS below 20 % or EF below 40 % are two major criteria of the task-force score of 2003
 * (3 points each, 6 reach it): suggests a dilated phenotype. Read soon (common practice).
 */
export function dilatedFlags(facts: CaseFacts, found: Found): Flag[] {
  if (facts.species !== 'dog') return [];
  const large = SIZES.map((c) => found.get(c)).find((i) => i?.position === 'above');
  const weak = weakIndex(found);
  const flags: Flag[] = holterNamed(facts, found);
  if (!large || !weak) return flags;
  return [
    makeFlag({
      rule: 'dog.dilated',
      code: 'DOG_FITS_DILATED_PHENOTYPE',
      level: 'look',
      urgency: 'urgent',
      data: {
        size: large.code,
        sizeValue: large.value,
        sizeUnit: large.unit,
        weak: weak.code,
        weakValue: weak.value,
      },
      indices: [large, weak],
      sources: [TASK_FORCE],
    }),
    ...flags,
  ];
}

/** A Holter is named whenever a Doberman or Boxer looks normal. */
function holterNamed(facts: CaseFacts, found: Found): Flag[] {
  const looks = ['fs', 'lvidd', 'lviddn', 'esvi', 'ef']
    .map((c) => found.get(c))
    .filter((i) => i !== undefined);
  if (!facts.groups.has('holter') || facts.input.plan !== 'large-dog-muscle' || looks.length === 0) return [];
  return [
    makeFlag({
      rule: 'note.holter',
      code: 'HOLTER_NAMED',
      level: 'note',
      data: { breed: facts.breed?.code ?? '' },
      indices: [],
      measurementIds: looks.flatMap((i) => i.measurementIds),
      sources: [
        facts.groups.has('boxer')
          ? {
              citation: 'Meurs KM, Stern JA, Reina-Doreste Y, et al. J Vet Intern Med 2014;28',
              doi: '10.1111/jvim.12385',
              status: 'primary',
            }
          : {
              citation:
                'Wess G, Domenech O, Dukes-McEwan J, et al. ESVC screening guidelines. J Vet Cardiol 2017',
              doi: '10.1016/j.jvc.2017.08.006',
              status: 'primary',
            },
      ],
    }),
  ];
}

/** One criterion: its points, and whether it is met; null where what it needs was not given. */
interface Criterion {
  code: string;
  points: 1 | 3;
  met: boolean | null;
}

function dilated(found: Found): boolean | null {
  const sizes = SIZES.map((c) => graded(found, c)).filter((i) => i !== null);
  return sizes.length === 0 ? null : sizes.some((i) => i.position === 'above');
}

function weak(found: Found): boolean | null {
  if (!graded(found, 'fs') && !graded(found, 'ef')) return null;
  return weakIndex(found) !== null;
}

/** FS of 20 to 25 %: the source prints 20 to 40, taken here as a slip. */
function equivocalFs(found: Found): boolean | null {
  const fs = graded(found, 'fs');
  return fs === null ? null : atLeast(fs.value, 20) && below(fs.value, 25);
}

function breedArrhythmia(facts: CaseFacts): boolean | null {
  if (!facts.groups.has('dcm-predisposed') && !facts.groups.has('holter')) return false;
  if (answered(facts, 'arrhythmia', 'yes', 'wide-beats-in-runs')) return true;
  return allAnswered(facts, 'arrhythmia', 'no') ? false : null;
}

function fibrillation(facts: CaseFacts): boolean | null {
  const { rhythm } = facts.input.state;
  return rhythm === null || rhythm === 'unknown' ? null : rhythm === 'atrial-fibrillation';
}

function is(found: Found, code: string, side: 'above' | 'below'): boolean | null {
  const index = graded(found, code);
  return index === null ? null : index.position === side;
}

function criteria(facts: CaseFacts, found: Found): Criterion[] {
  return [
    { code: 'lv-dilated', points: 3, met: dilated(found) },
    { code: 'sphericity-below-1.65', points: 3, met: is(found, 'sphericity', 'below') },
    { code: 'fs-below-20-or-ef-below-40', points: 3, met: weak(found) },
    { code: 'arrhythmia-of-breed', points: 1, met: breedArrhythmia(facts) },
    { code: 'atrial-fibrillation', points: 1, met: fibrillation(facts) },
    { code: 'pep-over-lvet', points: 1, met: null },
    { code: 'epss-high', points: 1, met: is(found, 'epss', 'above') },
    { code: 'fs-20-to-25', points: 1, met: equivocalFs(found) },
    { code: 'atrium-enlarged', points: 1, met: is(found, 'la-ao', 'above') },
  ];
}

/** Points at which the score is reached. */
const REACHED = 6;

/**
 * The task-force score of 2003, when the question is dilated cardiomyopathy: major criteria 3 points, minor 1, reached
 * at 6. Open while what was not given could still reach it: an unfinished score is no 'no'.
 */
export function dilatedStages(facts: CaseFacts, found: Found): Stage[] {
  const asked = facts.input.plan === 'large-dog-muscle' || found.get('sphericity') !== undefined;
  if (facts.species !== 'dog' || !asked || dilated(found) === null) return [];
  const all = criteria(facts, found);
  const sum = (state: boolean | null): number =>
    all.filter((c) => c.met === state).reduce((total, c) => total + c.points, 0);
  const points = sum(true);
  const code =
    points >= REACHED
      ? 'dcm-score-reached'
      : points + sum(null) >= REACHED
        ? 'dcm-score-open'
        : 'dcm-score-not-reached';
  const names = (state: boolean | null, withPoints: boolean): string[] =>
    all.filter((c) => c.met === state).map((c) => (withPoints ? `${c.code}:${c.points}` : c.code));
  return [
    {
      scheme: 'esvc-dcm-2003',
      code,
      met: [...names(true, true), `total:${points}`],
      unmet: names(false, false),
      missing: names(null, false),
      source: TASK_FORCE,
    },
  ];
}
