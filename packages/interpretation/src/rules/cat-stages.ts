import type { Interpretation, SourceRef } from '@chordae/contract';
import type { CaseFacts } from '../case-facts';
import { allAnswered, answered } from '../case-facts';
import { above, atLeast } from '../compare';
import type { Index } from '../indices';
import type { Found } from './outside-limits';

type Stage = Interpretation['stages'][number];

const ACVIM_CAT: SourceRef = {
  citation:
    'Luis Fuentes V, Abbott J, Chetboul V, et al. ACVIM consensus statement guidelines for the classification, diagnosis, and management of cardiomyopathies in cats. J Vet Intern Med 2020',
  doi: '10.1111/jvim.15745',
  status: 'memory',
};

interface Marks {
  met: string[];
  unmet: string[];
  missing: string[];
}

function graded(found: Found, code: string): Index | null {
  const index = found.get(code);
  return index && index.position !== 'not-graded' ? index : null;
}

/** Weak atrium: LA-FS below 12 %, a slow auricle, or low reservoir strain, whichever was measured. */
function weakAtrium(found: Found): boolean | null {
  const given = ['la-fs', 'laa-vmax', 'la-strain'].map((c) => graded(found, c)).filter((i) => i !== null);
  return given.length === 0 ? null : given.some((i) => i.position === 'below');
}

function yesNo(facts: CaseFacts, code: 'regional-hypokinesis'): boolean | null {
  if (answered(facts, code, 'yes')) return true;
  return allAnswered(facts, code, 'no') ? false : null;
}

/** Risk markers beside the size of the atrium. */
function riskMarkers(facts: CaseFacts, found: Found): Marks {
  const marks: Marks = { met: [], unmet: [], missing: [] };
  const put = (name: string, state: boolean | null): void => {
    (state === null ? marks.missing : state ? marks.met : marks.unmet).push(name);
  };
  const fs = graded(found, 'fs');
  const wall = graded(found, 'wall-max-d');
  put('fs-30-or-less', fs ? !above(fs.value, 30) : null);
  put('wall-9-or-more', wall ? atLeast(wall.value, 9) : null);
  const clot = answered(facts, 'la-clot', 'fixed', 'floating', 'smoke');
  put('clot-or-smoke', clot ? true : allAnswered(facts, 'la-clot', 'none') ? false : null);
  put('la-function', weakAtrium(found));
  put('regional-hypokinesis', yesNo(facts, 'regional-hypokinesis'));
  marks.missing.push('restrictive-filling');
  return marks;
}

function atriumEnlarged(found: Found): boolean {
  return ['la-ao', 'la-long', 'la-ao-min'].some((c) => graded(found, c)?.position === 'above');
}

/** Words that follow from history: failure or embolism, then or now. */
function byHistory(facts: CaseFacts): Stage[] {
  const failed = answered(facts, 'ever-in-failure', 'yes') ?? answered(facts, 'cold-painful-limb', 'yes');
  if (!failed) return [];
  return [
    {
      scheme: 'acvim-cat-2020',
      code: 'suggests-c-or-d-by-history',
      met: ['failure-or-embolism'],
      unmet: [],
      missing: [],
      source: ACVIM_CAT,
    },
  ];
}

/** Fluid in the chest or round the heart with a large atrium: the signs of failure that an echo can see. */
function bySigns(facts: CaseFacts, found: Found): Stage[] {
  const fluid = answered(facts, 'pleural-fluid', 'small', 'moderate', 'large');
  const round = answered(facts, 'pericardial-fluid', 'small', 'moderate', 'large');
  const large = atriumEnlarged(found) || answered(facts, 'la-by-eye', 'large', 'very-large') !== null;
  if ((!fluid && !round) || !large) return [];
  const met = [
    ...(fluid ? ['pleural-fluid'] : []),
    ...(round ? ['pericardial-fluid'] : []),
    'atrium-enlarged',
  ];
  return [
    { scheme: 'acvim-cat-2020', code: 'suggests-c-by-signs', met, unmet: [], missing: [], source: ACVIM_CAT },
  ];
}

/**
 * Which phenotype the measured heart fits. Thick walls and a ventricle that is not dilated: hypertrophic. Walls within
 * limits, ventricle not dilated, atrium large: restrictive or not told apart. Systole over 14 mm and FS below 28 %:
 * dilated. The mimics are named with the flags.
 */
function phenotype(facts: CaseFacts, found: Found): Stage[] {
  const wall = graded(found, 'wall-max-d');
  const size = graded(found, 'lvidd');
  const lvids = graded(found, 'lvids');
  const fs = graded(found, 'fs');
  const parts = { scheme: 'cat-phenotype-2020', unmet: [], source: ACVIM_CAT } as const;
  const stage = (code: string, met: string[], missing: string[]): Stage => ({
    ...parts,
    unmet: [],
    code,
    met,
    missing,
  });
  if (lvids && fs && above(lvids.value, 14) && fs.value < 28)
    return [stage('suggests-dilated', ['lvids-above-14', 'fs-below-28'], ['diet-taurine'])];
  if (!wall || size?.position === 'above') return [];
  const sizeMissing = size ? [] : ['lv-size'];
  if (atLeast(wall.value, 6))
    return [stage('suggests-hypertrophic', ['wall-6-or-more'], [...sizeMissing, 'mimics-excluded'])];
  const seen = answered(facts, 'la-by-eye', 'large', 'very-large') !== null;
  if (!above(wall.value, 5) && (atriumEnlarged(found) || seen) && size)
    return [stage('suggests-restrictive', ['walls-within-limits', 'atrium-enlarged'], ['filling-pattern'])];
  return [];
}

/** Stage and phenotype of a cat: never more than history and a reader's judgement of the atrium allow. */
export function catStages(facts: CaseFacts, found: Found): Stage[] {
  if (facts.species !== 'cat') return [];
  const wall = found.get('wall-max-d');
  const thick = wall?.grades[0]?.code === 'thick' || wall?.grades[0]?.code === 'severe';
  const markers = riskMarkers(facts, found);
  const atRisk: Stage[] = thick
    ? [
        {
          scheme: 'acvim-cat-2020',
          code: 'b1-or-b2-needs-atrium-judged',
          met: ['wall-6-or-more', ...markers.met],
          unmet: markers.unmet,
          missing: ['atrium-judged-by-reader', ...markers.missing],
          source: ACVIM_CAT,
        },
      ]
    : [];
  return [...byHistory(facts), ...bySigns(facts, found), ...atRisk, ...phenotype(facts, found)];
}
