import type { Interpretation, MeasurementCode } from '@chordae/contract';
import type { CaseFacts } from './case-facts';
import { answered, reading } from './case-facts';

type Missing = Interpretation['missing'][number];

const has = (facts: CaseFacts, code: MeasurementCode): boolean => reading(facts, code) !== null;

/** Indices that a dog's weight would make possible with the measurements given. */
function blockedByWeight(facts: CaseFacts): string[] {
  if (facts.species !== 'dog') return [];
  const rows: [MeasurementCode, string][] = [
    ['lvidd', 'lviddn'],
    ['lvids', 'lvidsn'],
    ['ivsd', 'ivsd'],
    ['ivss', 'ivss'],
    ['lvwd', 'lvwd'],
    ['lvws', 'lvws'],
    ['lv-edv', 'edvi'],
    ['lv-esv', 'esvi'],
    ['tapse', 'tapsen'],
  ];
  const blocks = rows.filter(([from]) => has(facts, from)).map(([, index]) => index);
  return blocks.length > 0 ? blocks : ['lviddn', 'lvidsn'];
}

/** Pairs of which one half was given and the other is wanted. */
const PAIRS: readonly [MeasurementCode, MeasurementCode, string][] = [
  ['lvidd', 'lvids', 'fs'],
  ['la-sax', 'ao-sax', 'la-ao'],
  ['lv-edv', 'lv-esv', 'ef'],
  ['mitral-e', 'mitral-a', 'e-a'],
];

function missingHalves(facts: CaseFacts): Missing[] {
  return PAIRS.flatMap(([a, b, index]) => {
    if (has(facts, a) === has(facts, b)) return [];
    const absent = has(facts, a) ? b : a;
    return [{ code: 'MEASUREMENT_MISSING', field: `measurement.${absent}`, blocks: [index] }];
  });
}

function missingForMitralStage(facts: CaseFacts): Missing[] {
  if (facts.species !== 'dog' || facts.input.plan !== 'small-dog-murmur') return [];
  const out: Missing[] = [];
  if (!answered(facts, 'murmur-grade', '0', '1', '2', '3', '4', '5', '6')) {
    out.push({
      code: 'MURMUR_GRADE_MISSING',
      field: 'observation.murmur-grade',
      blocks: ['acvim-mmvd-2019'],
    });
  }
  if (!answered(facts, 'ever-in-failure', 'yes', 'no')) {
    out.push({
      code: 'EVER_IN_FAILURE_MISSING',
      field: 'observation.ever-in-failure',
      blocks: ['acvim-mmvd-2019'],
    });
  }
  return out;
}

/** What is not known and what cannot be said without it. */
export function missingOf(facts: CaseFacts): Missing[] {
  const { patient, state } = facts.input;
  const out: Missing[] = [];
  if (facts.kg === null) {
    out.push({ code: 'WEIGHT_MISSING', field: 'patient.weight', blocks: blockedByWeight(facts) });
  }
  if (patient.ageMonths === null) out.push({ code: 'AGE_MISSING', field: 'patient.ageMonths', blocks: [] });
  if (state.sedative === null || state.sedative === 'unknown') {
    out.push({ code: 'SEDATION_MISSING', field: 'state.sedative', blocks: [] });
  }
  return [...out, ...missingHalves(facts), ...missingForMitralStage(facts)];
}

/** Field codes that `missingOf` can give, for the words. */
export const missingCodes = [
  'WEIGHT_MISSING',
  'AGE_MISSING',
  'SEDATION_MISSING',
  'MEASUREMENT_MISSING',
  'MURMUR_GRADE_MISSING',
  'EVER_IN_FAILURE_MISSING',
] as const;
