import type { Flag, Urgency } from '@chordae/contract';
import { hasExtremeRate } from '../act-now/rhythm';
import type { CaseFacts } from '../case-facts';
import { answered, reading } from '../case-facts';
import { above, below } from '../compare';
import { makeFlag } from '../make-flag';
import type { Found } from './outside-limits';

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

/**
 * A dog's aortic velocity in the zone that a cardiologist settles, when the question is a narrowed outlet or breeding. No
 * limit grades a dog's velocity, so the zone is read off its own limit; outlying breeds only compare with it.
 */
function screeningZone(facts: CaseFacts, found: Found): Flag[] {
  const { plan } = facts.input;
  if (plan !== 'breeding-screen' && plan !== 'outflow') return [];
  const velocity = found.get('ao-vmax');
  const zone = velocity?.limits.find((l) => l.id === 'outflow-screening-zone' && !l.comparisonOnly);
  const from = zone?.ticks.find((t) => t.code === 'equivocal-from')?.at;
  if (!velocity || !zone || zone.upper === null || from === undefined || hasExtremeRate(facts)) return [];
  if (below(velocity.value, from) || above(velocity.value, zone.upper)) return [];
  return [
    makeFlag({
      rule: 'outflow.screening-zone',
      code: 'OUTFLOW_VELOCITY_EQUIVOCAL',
      level: 'look',
      data: { value: velocity.value, from, to: zone.upper },
      indices: [velocity],
      sources: [zone.source],
    }),
  ];
}

/** No clearance of an outlet before about 12 months (from memory): gradients rise while growing. */
function tooYoungToClear(facts: CaseFacts): Flag[] {
  const months = facts.input.patient.ageMonths;
  const velocity = reading(facts, 'ao-vmax');
  if (facts.input.plan !== 'breeding-screen' || months === null || months >= 12 || !velocity) return [];
  return [
    makeFlag({
      rule: 'outflow.young',
      code: 'OUTLET_NOT_CLEARED_YOUNG',
      level: 'note',
      data: { ageMonths: months },
      measurementIds: velocity.ids,
      sources: [
        { citation: 'No clearance before about 12 months: from memory', doi: null, status: 'memory' },
      ],
    }),
  ];
}

/** A duct jet slower than 5 m/s in systole lets one suspect raised pulmonary pressure. */
function slowDuct(facts: CaseFacts, found: Found): Flag[] {
  const duct = found.get('duct-vmax');
  if (!duct || !below(duct.value, 5)) return [];
  return [
    makeFlag({
      rule: 'shunt.duct-slow',
      code: 'DUCT_JET_SLOW',
      level: 'look',
      data: { value: duct.value, usualFrom: 5 },
      indices: [duct],
      sources: duct.limits.filter((l) => l.id === 'duct-jet').map((l) => l.source),
    }),
  ];
}

/** SAM seen without a velocity: dynamic obstruction wants aligned Doppler (common practice). */
function samWantsDoppler(facts: CaseFacts): Flag[] {
  const sam = answered(facts, 'sam', 'yes');
  if (!sam || reading(facts, 'ao-vmax')) return [];
  return [
    makeFlag({
      rule: 'look.sam',
      code: 'SAM_WANTS_DOPPLER',
      level: 'look',
      data: {},
      observationIds: [sam.id],
    }),
  ];
}

/** Outlets and shunts. */
export function outflowFlags(facts: CaseFacts, found: Found): Flag[] {
  return [
    ...graded(facts, found),
    ...narrowOutlet(facts),
    ...screeningZone(facts, found),
    ...tooYoungToClear(facts),
    ...slowDuct(facts, found),
    ...samWantsDoppler(facts),
  ];
}
