import type { Flag } from '@chordae/contract';
import type { CaseFacts } from '../case-facts';
import { answered, reading } from '../case-facts';
import { above, atLeast } from '../compare';
import type { Index } from '../indices';
import { makeFlag } from '../make-flag';

/** What can look the same as a thick-walled heart muscle disease: always named. */
export const WALL_MIMICS = [
  'dehydration',
  'septal-bulge',
  'hypertension',
  'hyperthyroidism',
  'acromegaly',
  'transient-thickening',
  'thick-papillary-muscles',
] as const;

/** Of the mimics that a number speaks about: what was given, null where it was not. Nothing is excluded by it. */
function mimicsGiven(facts: CaseFacts) {
  const method = answered(facts, 'pressure-method', 'doppler', 'oscillometric', 'other');
  return {
    pressureMmHg: reading(facts, 'systolic-pressure')?.value ?? null,
    pressureMethod: method?.value ?? null,
    t4NmolPerL: reading(facts, 't4')?.value ?? null,
  };
}

function wallFlag(facts: CaseFacts, found: ReadonlyMap<string, Index>): Flag[] {
  const wall = found.get('wall-max-d');
  const band = wall?.grades[0];
  if (!wall || !band || band.code === 'normal') return [];
  const code =
    band.code === 'grey'
      ? 'CAT_WALL_GREY_ZONE'
      : band.code === 'thick'
        ? 'CAT_WALL_THICK'
        : 'CAT_WALL_SEVERE';
  return [
    makeFlag({
      rule: 'cat.wall',
      code,
      level: band.code === 'grey' ? 'note' : 'look',
      data: {
        valueMm: wall.value,
        band: band.code,
        scale: band.scale,
        closeness: wall.closeness,
        mimics: [...WALL_MIMICS],
        ...mimicsGiven(facts),
        dry: facts.input.state.hydration === 'dry' || answered(facts, 'dry-or-bled', 'yes') !== null,
      },
      indices: [wall],
    }),
  ];
}

function failureRange(found: ReadonlyMap<string, Index>): Flag[] {
  const la = found.get('la-long');
  const limit = la?.limits.find((l) => l.id === 'rohrbaugh-la-long');
  if (!la || la.position === 'not-graded' || limit?.upper == null || !above(la.value, limit.upper)) return [];
  return [
    makeFlag({
      rule: 'cat.la-failure-range',
      code: 'CAT_LA_IN_FAILURE_RANGE',
      level: 'look',
      urgency: 'urgent',
      data: { valueMm: la.value, boundMm: limit.upper },
      indices: [la],
      sources: [limit.source],
    }),
  ];
}

function dynamicOutflow(found: ReadonlyMap<string, Index>): Flag[] {
  const velocity = found.get('ao-vmax');
  const limit = velocity?.limits.find((l) => l.id === 'cat-lvot-dynamic');
  if (!velocity || velocity.position === 'not-graded' || limit?.upper == null) return [];
  if (!atLeast(velocity.value, limit.upper)) return [];
  return [
    makeFlag({
      rule: 'cat.outflow',
      code: 'CAT_OUTFLOW_OBSTRUCTION_POSSIBLE',
      level: 'look',
      data: { value: velocity.value, bound: limit.upper, gradientMmHg: 4 * velocity.value * velocity.value },
      indices: [velocity],
      sources: [limit.source],
    }),
  ];
}

/** Systolic cavity over 14 mm with a low FS: fits a dilated phenotype (Hambrook & Bennett, 32 cats). */
function dilated(found: ReadonlyMap<string, Index>): Flag[] {
  const fs = found.get('fs');
  const lvids = found.get('lvids');
  if (!fs || !lvids || fs.position === 'not-graded' || lvids.position === 'not-graded') return [];
  if (!above(lvids.value, 14) || !(fs.value < 28)) return [];
  return [
    makeFlag({
      rule: 'cat.dilated',
      code: 'CAT_FITS_DILATED_PHENOTYPE',
      level: 'look',
      urgency: 'urgent',
      data: { lvidsMm: lvids.value, fs: fs.value },
      indices: [fs, lvids],
      sources: [
        {
          citation:
            'Hambrook LE, Bennett PF. Effect of pimobendan on survival of cats with non-taurine responsive dilated cardiomyopathy (authors from memory)',
          doi: null,
          status: 'primary',
        },
      ],
    }),
  ];
}

/** Flags of feline heart muscle disease. */
export function catFlags(facts: CaseFacts, found: ReadonlyMap<string, Index>): Flag[] {
  if (facts.species !== 'cat') return [];
  return [...wallFlag(facts, found), ...failureRange(found), ...dynamicOutflow(found), ...dilated(found)];
}
