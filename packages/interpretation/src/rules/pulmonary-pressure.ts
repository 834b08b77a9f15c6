import type { Interpretation, SourceRef } from '@chordae/contract';
import type { CaseFacts } from '../case-facts';
import { allAnswered, answered, reading } from '../case-facts';
import { above, below } from '../compare';
import type { Found } from './outside-limits';

type Stage = Interpretation['stages'][number];

const ACVIM_PH: SourceRef = {
  citation:
    'Reinero C, Visser LC, Kellihan HB, et al. ACVIM consensus statement guidelines for the diagnosis, classification, treatment, and monitoring of pulmonary hypertension in dogs. J Vet Intern Med 2020;34:549-573 (table from memory)',
  doi: '10.1111/jvim.15725',
  status: 'memory',
};

/** Whether a site shows a sign; null where nothing of it was looked at. One sign is enough, and a 'no' of one is no 'no' of all. */
type Site = { code: string; signs: (boolean | null)[] };

function finding(facts: CaseFacts, code: 'septum-flat' | 'rv-as-large-as-lv'): boolean | null {
  if (answered(facts, code, 'yes')) return true;
  return allAnswered(facts, code, 'no') ? false : null;
}

function indexIs(found: Found, code: string, test: (value: number) => boolean): boolean | null {
  const index = found.get(code);
  return index === undefined ? null : test(index.value);
}

function graded(found: Found, code: string, side: 'above' | 'below'): boolean | null {
  const index = found.get(code);
  return index === undefined || index.position === 'not-graded' ? null : index.position === side;
}

function rightAtrium(facts: CaseFacts): boolean | null {
  if (answered(facts, 'right-atrium', 'large')) return true;
  return allAnswered(facts, 'right-atrium', 'not-large') ? false : null;
}

/** The three sites of the consensus with the signs that can be entered here. */
function sites(facts: CaseFacts, found: Found): Site[] {
  return [
    {
      code: 'ventricles',
      signs: [
        finding(facts, 'septum-flat'),
        finding(facts, 'rv-as-large-as-lv'),
        graded(found, 'rveda-n', 'above'),
        graded(found, 'tapsen', 'below'),
        graded(found, 'rv-fac', 'below'),
      ],
    },
    {
      code: 'pulmonary-artery',
      signs: [
        indexIs(found, 'mpa-ao', (v) => above(v, 1)),
        indexIs(found, 'pr-vmax', (v) => above(v, 2.5)),
        indexIs(found, 'rpad', (v) => below(v, 30)),
        indexIs(found, 'pa-at', (v) => below(v, 52)),
        indexIs(found, 'at-et', (v) => below(v, 0.3)),
      ],
    },
    { code: 'right-atrium', signs: [rightAtrium(facts)] },
  ];
}

const siteState = ({ signs }: Site): boolean | null =>
  signs.includes(true) ? true : signs.includes(false) ? false : null;

/** 'low' | 'intermediate' | 'high' by the velocity of the tricuspid leak (null: not measurable) and the number of sites with signs. */
export function hypertensionProbability(
  trMetresPerSecond: number | null,
  sitesWithSigns: number,
): 'low' | 'intermediate' | 'high' {
  if (trMetresPerSecond !== null && above(trMetresPerSecond, 3.4))
    return sitesWithSigns === 0 ? 'intermediate' : 'high';
  if (trMetresPerSecond !== null && above(trMetresPerSecond, 3))
    return sitesWithSigns <= 1 ? 'intermediate' : 'high';
  return sitesWithSigns <= 1 ? 'low' : sitesWithSigns === 2 ? 'intermediate' : 'high';
}

/**
 * Probability of pulmonary hypertension by echo (dog): stated as 'so far' while a site was not looked at, because a
 * site that nobody looked at could still raise it.
 */
export function pulmonaryPressureStages(facts: CaseFacts, found: Found): Stage[] {
  if (facts.species !== 'dog') return [];
  const tr = reading(facts, 'tr-vmax');
  const states = sites(facts, found).map((site) => ({ code: site.code, state: siteState(site) }));
  const asked = facts.input.plan === 'right-heart' || tr !== null || states.some((s) => s.state === true);
  const known = tr !== null || states.some((s) => s.state !== null);
  if (!asked || !known) return [];
  const names = (state: boolean | null): string[] =>
    states.filter((s) => s.state === state).map((s) => `ph-site-${s.code}`);
  const probability = hypertensionProbability(tr?.value ?? null, names(true).length);
  const missing = [...names(null), ...(tr === null ? ['tricuspid-jet'] : [])];
  const final = probability === 'high' || missing.length === 0;
  return [
    {
      scheme: 'acvim-ph-2020',
      code: final ? `ph-${probability}` : `ph-${probability}-so-far`,
      met: names(true),
      unmet: names(false),
      missing,
      source: ACVIM_PH,
    },
  ];
}
