import type { Flag, FlagLevel, Urgency } from '@chordae/contract';
import type { CaseFacts } from '../case-facts';
import { below } from '../compare';
import type { Index } from '../indices';
import { makeFlag } from '../make-flag';

type Found = ReadonlyMap<string, Index>;

/** A flag for an index that lies outside the limit that grades it. */
interface OutsideRule {
  index: string;
  side: 'below' | 'above';
  code: string;
  level: FlagLevel;
}

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
];

/** Cats: the plain sizes are graded by fixed limits. Breeds with limits of their own: likewise. */
const SIZE_OUTSIDE: readonly OutsideRule[] = [
  { index: 'lvidd', side: 'above', code: 'LV_LARGE_DIASTOLE', level: 'look' },
  { index: 'lvidd', side: 'below', code: 'LV_SMALL_DIASTOLE', level: 'note' },
  { index: 'lvids', side: 'above', code: 'LV_LARGE_SYSTOLE', level: 'look' },
];

function outside(found: Found, rule: OutsideRule): Flag[] {
  const index = found.get(rule.index);
  if (!index?.grading || index.position !== rule.side) return [];
  const limit = index.grading.applied;
  return [
    makeFlag({
      rule: `limit.${rule.index}`,
      code: rule.code,
      level: rule.level,
      data: {
        index: rule.index,
        value: index.value,
        unit: index.unit,
        bound: rule.side === 'above' ? limit.upper : limit.lower,
        closeness: index.closeness,
        own: limit.chosenBecause === 'breed',
      },
      indices: [index],
    }),
  ];
}

/** Gradients: the grade with the name of its scale. */
function graded(facts: CaseFacts, found: Found): Flag[] {
  const rows = [
    { index: 'ao-gradient', code: 'AORTIC_GRADIENT_GRADED' },
    { index: 'pa-gradient', code: 'PULMONIC_GRADIENT_GRADED' },
    { index: 'tr-gradient', code: 'TRICUSPID_GRADIENT_GRADED' },
  ];
  if (facts.species !== 'dog') return [];
  return rows.flatMap(({ index: name, code }) => {
    const index = found.get(name);
    const grade = index?.grades[0];
    if (!index || !grade || grade.code === 'none') return [];
    return [
      makeFlag({
        rule: `grade.${name}`,
        code,
        level: 'look',
        urgency: urgencyOfGrade(grade.code),
        data: { value: index.value, grade: grade.code, scale: grade.scale },
        indices: [index],
        sources: index.limits.filter((l) => l.id === grade.limitId).map((l) => l.source),
      }),
    ];
  });
}

/** Severe grades are read soon (common practice). */
function urgencyOfGrade(grade: string): Urgency | null {
  return grade === 'severe' || grade === 'very-severe' ? 'urgent' : null;
}

/** A narrowing in the outlet on 2-D is a reason for aligned Doppler even before a velocity (common practice). */
function narrowOutlet(facts: CaseFacts): Flag[] {
  const answers = (facts.answers.get('outlet-narrow') ?? []).filter(
    (a) => !a.machineOnly && a.value === 'yes',
  );
  if (answers.length === 0) return [];
  return [
    makeFlag({
      rule: 'look.outlet-narrow',
      code: 'OUTLET_NARROW_WANTS_DOPPLER',
      level: 'look',
      data: {},
      observationIds: answers.map((a) => a.id),
    }),
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

/**
 * Dog: a large left ventricle and FS below 20 % or EF below 40 % are two major criteria of the task-force score of 2003
 * (3 points each, 6 reach it): suggests a dilated phenotype. Read soon (common practice).
 */
function dilatedPhenotype(facts: CaseFacts, found: Found): Flag[] {
  if (facts.species !== 'dog') return [];
  const large = ['lvidsn', 'lviddn', 'lvids', 'lvidd', 'esvi', 'edvi']
    .map((c) => found.get(c))
    .find((i) => i?.position === 'above');
  const fs = found.get('fs');
  const ef = found.get('ef');
  const weak =
    fs && fs.position !== 'not-graded' && below(fs.value, 20)
      ? fs
      : ef && ef.position !== 'not-graded' && below(ef.value, 40)
        ? ef
        : null;
  if (!large || !weak) return [];
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
      sources: [
        {
          citation:
            'Dukes-McEwan J, Borgarelli M, Tidholm A, Vollmar AC, Haggstrom J. Proposed guidelines for the diagnosis of canine idiopathic dilated cardiomyopathy. J Vet Cardiol 2003;5(2):7-19',
          doi: null,
          status: 'secondary',
        },
      ],
    }),
  ];
}

/** Flags drawn from indices and findings, after the contradictions. */
export function conclusionFlags(facts: CaseFacts, indices: readonly Index[]): Flag[] {
  const found = new Map(indices.map((i) => [i.code, i]));
  const rules = [
    ...OUTSIDE.filter((r) => facts.species !== 'cat' || !CAT_WALLS.has(r.index)),
    ...SIZE_OUTSIDE,
  ];
  return [
    ...rules.flatMap((rule) => outside(found, rule)),
    ...graded(facts, found),
    ...dilatedPhenotype(facts, found),
    ...narrowOutlet(facts),
    ...holterNamed(facts, found),
  ];
}

/** In cats the thickest segment is graded, not each wall. */
const CAT_WALLS = new Set(['ivsd', 'lvwd']);
