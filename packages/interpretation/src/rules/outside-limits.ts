import type { AppliedLimit, Flag, FlagLevel, Species } from '@chordae/contract';
import type { CaseFacts } from '../case-facts';
import type { Index } from '../indices';
import { makeFlag } from '../make-flag';

export type Found = ReadonlyMap<string, Index>;

/** A flag for an index that lies outside the limit that grades it. */
interface OutsideRule {
  index: string;
  side: 'below' | 'above';
  level: FlagLevel;
  /** A sentence of its own; without one the general sentence with its meaning is used. */
  code?: string;
  /** What lies on that side, for the general sentence. */
  meaning?: string;
  /** Species in which this rule speaks; all when absent. */
  species?: readonly Species[];
}

const look = (
  index: string,
  side: 'below' | 'above',
  meaning: string,
  species?: readonly Species[],
): OutsideRule => ({ index, side, level: 'look', meaning, ...(species ? { species } : {}) });

const OUTSIDE: readonly OutsideRule[] = [
  { index: 'lviddn', side: 'above', code: 'LV_LARGE_DIASTOLE', level: 'look' },
  { index: 'lviddn', side: 'below', code: 'LV_SMALL_DIASTOLE', level: 'note' },
  { index: 'lvidsn', side: 'above', code: 'LV_LARGE_SYSTOLE', level: 'look' },
  { index: 'lviddn-toy', side: 'above', code: 'LV_LARGE_TOY', level: 'look' },
  { index: 'ivsd', side: 'above', code: 'WALL_THICK', level: 'look' },
  { index: 'ivsd', side: 'below', code: 'WALL_THIN', level: 'note' },
  { index: 'lvwd', side: 'above', code: 'WALL_THICK', level: 'look' },
  { index: 'lvwd', side: 'below', code: 'WALL_THIN', level: 'note' },
  { index: 'fs', side: 'below', code: 'FS_LOW', level: 'look' },
  { index: 'fs', side: 'above', code: 'FS_HIGH', level: 'note' },
  { index: 'ef', side: 'below', code: 'EF_LOW', level: 'look' },
  { index: 'epss', side: 'above', code: 'EPSS_HIGH', level: 'look' },
  { index: 'edvi', side: 'above', code: 'EDVI_HIGH', level: 'look' },
  { index: 'esvi', side: 'above', code: 'ESVI_HIGH', level: 'look' },
  { index: 'la-ao', side: 'above', code: 'LA_ENLARGED', level: 'look' },
  { index: 'la-long', side: 'above', code: 'LA_LONG_AXIS_ENLARGED', level: 'look' },
  { index: 'vhs', side: 'above', code: 'VHS_HIGH', level: 'note' },
  { index: 'tapsen', side: 'below', code: 'TAPSE_LOW', level: 'look' },
  { index: 'e-a', side: 'above', code: 'E_A_HIGH', level: 'look' },
  { index: 'ao-vmax', side: 'above', code: 'AORTIC_VELOCITY_HIGH', level: 'look' },
  { index: 'pa-vmax', side: 'above', code: 'PULMONIC_VELOCITY_HIGH', level: 'note' },
  look('sphericity', 'below', 'ventricle-round'),
  look('la-ao-min', 'above', 'atrium-large-at-end-diastole'),
  look('la-ao-long', 'above', 'atrium-failure-group', ['cat']),
  look('la-ao-long', 'above', 'atrium-large-long-axis', ['dog']),
  look('la-lv-long', 'above', 'atrium-large-long-axis'),
  look('lv-ao-long', 'above', 'ventricle-large-long-axis'),
  look('la-fs', 'below', 'atrium-weak'),
  look('la-volume-kg', 'above', 'atrium-large-volume'),
  look('laa-vmax', 'below', 'auricle-slow'),
  look('la-strain', 'below', 'atrium-weak'),
  look('rlad', 'above', 'atrium-large-radiograph'),
  look('pv-pa', 'above', 'vein-wide'),
  look('rpad', 'below', 'pulmonary-pressure'),
  look('pa-at', 'below', 'pulmonary-pressure'),
  look('at-et', 'below', 'pulmonary-pressure'),
  look('mpa-ao', 'above', 'pulmonary-pressure'),
  look('pr-vmax', 'above', 'pulmonary-pressure'),
  look('s-prime-n', 'below', 'right-function'),
  look('rv-fac', 'below', 'right-function'),
  look('rveda-n', 'above', 'right-large'),
  look('rvesa-n', 'above', 'right-large'),
  look('e-prime', 'below', 'relaxation-slow'),
  look('aapse', 'below', 'long-axis-weak'),
  look('systolic-pressure', 'above', 'pressure-high'),
  look('nt-probnp', 'above', 'bnp-high'),
  look('vpc-24h', 'above', 'extra-beats'),
  look('qp-qs', 'above', 'shunt'),
];

/** Cats: the plain sizes are graded by fixed limits. Breeds with limits of their own: likewise. */
const SIZE_OUTSIDE: readonly OutsideRule[] = [
  { index: 'lvidd', side: 'above', code: 'LV_LARGE_DIASTOLE', level: 'look' },
  { index: 'lvidd', side: 'below', code: 'LV_SMALL_DIASTOLE', level: 'note' },
  { index: 'lvids', side: 'above', code: 'LV_LARGE_SYSTOLE', level: 'look' },
];

const ALL_RULES: readonly OutsideRule[] = [...OUTSIDE, ...SIZE_OUTSIDE];

function outside(index: Index, limit: AppliedLimit, rule: OutsideRule, species: Species): Flag {
  return makeFlag({
    rule: `limit.${rule.index}`,
    code: rule.code ?? 'OUTSIDE_LIMIT',
    level: rule.level,
    data: {
      index: rule.index,
      value: index.value,
      unit: index.unit,
      bound: rule.side === 'above' ? limit.upper : limit.lower,
      side: rule.side,
      closeness: index.closeness,
      own: limit.chosenBecause === 'breed',
      species,
      ...(rule.meaning === undefined ? {} : { meaning: rule.meaning }),
    },
    indices: [index],
  });
}

/** Indices outside the limit that grades them, each a flag. */
export function outsideLimitFlags(facts: CaseFacts, found: Found): Flag[] {
  const flags: Flag[] = [];
  for (const rule of ALL_RULES) {
    const index = found.get(rule.index);
    if (!index?.grading || index.position !== rule.side) continue;
    if (rule.species && !rule.species.includes(facts.species)) continue;
    flags.push(outside(index, index.grading.applied, rule, facts.species));
  }
  return flags;
}
