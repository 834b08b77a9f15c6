import type { Flag } from '@chordae/contract';
import type { CaseFacts } from '../case-facts';
import { answered, answerIds, reading } from '../case-facts';
import { above } from '../compare';
import { makeFlag } from '../make-flag';
import { gradientMmHg } from '../recipes/doppler';
import type { Signs } from './signs';
import { ACT_NOW_MEMORY, ACT_NOW_SOURCE, thresholds } from './thresholds';

function personGradient(
  facts: CaseFacts,
  code: 'tr-vmax' | 'ao-vmax' | 'pa-vmax',
): { mmHg: number; ids: string[] } | null {
  const velocity = reading(facts, code);
  if (!velocity || velocity.computedOnly) return null;
  return { mmHg: gradientMmHg(velocity.value), ids: velocity.ids };
}

/** Tricuspid gradient over 75 mmHg, or a flat septum and a right ventricle as large as the left, with fainting or distress. */
function rightPressure(facts: CaseFacts, signs: Signs): Flag[] {
  const tr = personGradient(facts, 'tr-vmax');
  const steep = tr !== null && above(tr.mmHg, thresholds.trGradientSevereAbove);
  const shape =
    answered(facts, 'septum-flat', 'yes') !== null && answered(facts, 'rv-as-large-as-lv', 'yes') !== null;
  const ill = answered(facts, 'fainting', 'yes') !== null || signs.weakness || signs.distress;
  if (!ill || (!steep && !shape)) return [];
  return [
    makeFlag({
      rule: 'act-now.right-pressure',
      code: 'RIGHT_HEART_PRESSURE_LOAD',
      level: 'act-now',
      urgency: 'emergency',
      data: { gradientMmHg: steep ? (tr?.mmHg ?? null) : null, shape },
      measurementIds: steep ? (tr?.ids ?? []) : [],
      observationIds: answerIds(
        facts,
        'septum-flat',
        'rv-as-large-as-lv',
        'fainting',
        'collapse',
        'breathing-effort',
      ),
      sources: [steep ? ACT_NOW_MEMORY : ACT_NOW_SOURCE],
    }),
  ];
}

function worms(facts: CaseFacts): Flag[] {
  const ill =
    answered(facts, 'collapse', 'yes') ??
    answered(facts, 'weak-pulses-or-pale', 'yes') ??
    answered(facts, 'dark-urine', 'yes');
  if (!answered(facts, 'worms-in-right-heart', 'yes') || !ill) return [];
  return [
    makeFlag({
      rule: 'act-now.worms',
      code: 'CAVAL_SYNDROME_POSSIBLE',
      level: 'act-now',
      urgency: 'emergency',
      data: { darkUrine: answered(facts, 'dark-urine', 'yes') !== null },
      observationIds: answerIds(
        facts,
        'worms-in-right-heart',
        'collapse',
        'weak-pulses-or-pale',
        'dark-urine',
      ),
      sources: [ACT_NOW_SOURCE],
    }),
  ];
}

/** Young dog with a continuous murmur or duct flow: an open duct is curable. Under two years (from memory), or of unknown age. */
function openDuct(facts: CaseFacts, signs: Signs): Flag[] {
  const months = facts.input.patient.ageMonths;
  const young = months === null || months < thresholds.youngMonthsBelow;
  const duct = answered(facts, 'murmur-continuous', 'yes') ?? answered(facts, 'duct-flow', 'yes');
  if (facts.species !== 'dog' || !young || !duct) return [];
  const oedema = signs.distress && signs.manyBLinesBothSides;
  return [
    makeFlag({
      rule: 'act-now.open-duct',
      code: 'OPEN_DUCT_POSSIBLE',
      level: 'act-now',
      urgency: oedema ? 'emergency' : 'urgent',
      data: { ageMonths: months, blueHindEnd: answered(facts, 'blue-hind-end', 'yes') !== null, oedema },
      observationIds: answerIds(facts, 'murmur-continuous', 'duct-flow', 'blue-hind-end'),
      sources: [ACT_NOW_SOURCE],
    }),
  ];
}

function stenosisWithFainting(facts: CaseFacts): Flag[] {
  if (!answered(facts, 'fainting', 'yes') && !answered(facts, 'collapse', 'yes')) return [];
  const rows = [
    { outlet: 'aortic', code: 'ao-vmax' as const, from: thresholds.aorticGradientAbove },
    { outlet: 'pulmonic', code: 'pa-vmax' as const, from: thresholds.pulmonicGradientAbove },
  ];
  return rows.flatMap(({ outlet, code, from }) => {
    const gradient = personGradient(facts, code);
    if (!gradient || !above(gradient.mmHg, from)) return [];
    return [
      makeFlag({
        rule: 'act-now.stenosis-fainting',
        subject: outlet,
        code: 'STENOSIS_WITH_FAINTING',
        level: 'act-now',
        urgency: 'urgent',
        data: { outlet, gradientMmHg: gradient.mmHg, above: from },
        measurementIds: gradient.ids,
        observationIds: answerIds(facts, 'fainting', 'collapse'),
        sources: [ACT_NOW_MEMORY],
      }),
    ];
  });
}

function endocarditis(facts: CaseFacts): Flag[] {
  const all = ['fever', 'murmur-new', 'valve-lump'] as const;
  if (!all.every((code) => answered(facts, code, 'yes'))) return [];
  return [
    makeFlag({
      rule: 'act-now.endocarditis',
      code: 'ENDOCARDITIS_POSSIBLE',
      level: 'act-now',
      urgency: 'urgent',
      data: {},
      observationIds: answerIds(facts, ...all),
      sources: [ACT_NOW_SOURCE],
    }),
  ];
}

/** Horse: complex ventricular beats, heart failure or pulmonary hypertension: not ridden or driven until read. */
function riderSafety(facts: CaseFacts): Flag[] {
  if (facts.species !== 'horse') return [];
  const tr = personGradient(facts, 'tr-vmax');
  const reasons: string[] = [];
  if (answered(facts, 'arrhythmia', 'wide-beats-in-runs')) reasons.push('ventricular-beats');
  if (answered(facts, 'ever-in-failure', 'yes')) reasons.push('heart-failure');
  if (answered(facts, 'aortic-root-tear', 'yes')) reasons.push('aortic-root-tear');
  if (answered(facts, 'collapse', 'yes')) reasons.push('collapse');
  if (tr !== null && above(tr.mmHg, thresholds.trGradientSevereAbove)) reasons.push('pulmonary-hypertension');
  if (reasons.length === 0) return [];
  return [
    makeFlag({
      rule: 'act-now.rider-safety',
      code: 'HORSE_NOT_RIDDEN',
      level: 'act-now',
      urgency: 'urgent',
      data: {
        reasons,
        stayClear: reasons.includes('collapse') || reasons.includes('aortic-root-tear'),
      },
      measurementIds: reasons.includes('pulmonary-hypertension') ? (tr?.ids ?? []) : [],
      observationIds: answerIds(facts, 'arrhythmia', 'ever-in-failure', 'aortic-root-tear', 'collapse'),
      sources: [
        {
          citation:
            'Reef VB, Bonagura J, Buhl R, et al. Recommendations for management of equine athletes with cardiovascular abnormalities. J Vet Intern Med 2014;28:749-761',
          doi: '10.1111/jvim.12340',
          status: 'primary',
        },
      ],
    }),
  ];
}

/** Rules about the right heart, ducts, outlets, valves and the rider. */
export function heartRules(facts: CaseFacts, signs: Signs): Flag[] {
  return [
    ...rightPressure(facts, signs),
    ...worms(facts),
    ...openDuct(facts, signs),
    ...stenosisWithFainting(facts),
    ...endocarditis(facts),
    ...riderSafety(facts),
  ];
}
