import type { MeasurementCode, ObservationCode, Species } from '@chordae/contract';

/** Which way an input of an urgency rule is worse: larger, smaller, or the answers in order from harmless to worst. */
export interface Direction {
  rule: string;
  species?: readonly Species[];
  measurement?: MeasurementCode;
  worse?: 'up' | 'down';
  observation?: ObservationCode;
  /** From harmless to worst; only a move to the right is worse. */
  order?: readonly string[];
}

const ANSWER = ['no', 'yes'] as const;
const AMOUNT = ['none', 'small', 'moderate', 'large'] as const;

const answers = (rule: string, ...codes: ObservationCode[]): Direction[] =>
  codes.map((observation) => ({ rule, observation, order: ANSWER }));

/**
 * Declared for every rule that sets an urgency: which way each of its inputs is worse. Worse never lowers the urgency;
 * the property test goes through this table.
 */
export const directions: readonly Direction[] = [
  ...answers('act-now.breathless', 'open-mouth-breathing', 'blue-gums', 'cannot-lie', 'breathing-effort'),
  { rule: 'act-now.breathless', measurement: 'breathing-rate', worse: 'up' },
  ...answers('act-now.collapse', 'collapse', 'weak-pulses-or-pale'),
  { rule: 'act-now.tamponade', observation: 'pericardial-fluid', order: AMOUNT },
  ...answers('act-now.tamponade', 'wall-collapse'),
  ...answers('act-now.torn-atrium', 'clot-in-sac'),
  { rule: 'act-now.torn-atrium', observation: 'murmur-grade', order: ['0', '1', '2', '3', '4', '5', '6'] },
  { rule: 'act-now.cat-fluid', species: ['cat'], observation: 'pericardial-fluid', order: AMOUNT },
  ...answers('act-now.organ-in-sac', 'organ-in-sac'),
  { rule: 'act-now.pleural-fluid', observation: 'pleural-fluid', order: AMOUNT },
  { rule: 'act-now.left-failure', observation: 'b-lines', order: ['many-one-side', 'many-both-sides'] },
  { rule: 'act-now.left-failure', observation: 'la-by-eye', order: ['not-large', 'large', 'very-large'] },
  { rule: 'act-now.cat-very-large-atrium', species: ['cat'], measurement: 'la-sax', worse: 'up' },
  ...answers('act-now.embolism', 'cold-painful-limb', 'sudden-paralysis'),
  { rule: 'act-now.clot', observation: 'la-clot', order: ['none', 'smoke', 'fixed', 'floating'] },
  { rule: 'act-now.right-pressure', measurement: 'tr-vmax', worse: 'up' },
  ...answers('act-now.right-pressure', 'septum-flat', 'rv-as-large-as-lv', 'fainting'),
  ...answers('act-now.worms', 'worms-in-right-heart', 'dark-urine'),
  { rule: 'act-now.rhythm', observation: 'arrhythmia', order: ['no', 'yes', 'wide-beats-in-runs'] },
  ...answers('act-now.open-duct', 'duct-flow', 'murmur-continuous', 'blue-hind-end'),
  { rule: 'act-now.stenosis-fainting', measurement: 'ao-vmax', worse: 'up' },
  { rule: 'act-now.stenosis-fainting', measurement: 'pa-vmax', worse: 'up' },
  ...answers('act-now.endocarditis', 'fever', 'murmur-new', 'valve-lump'),
  ...answers('act-now.rider-safety', 'ever-in-failure', 'aortic-root-tear'),
  ...answers('act-now.no-sliding', 'breathing-effort'),
  ...answers('act-now.failure-less-likely', 'breathing-effort'),
  { rule: 'grade.pa-gradient', species: ['dog'], measurement: 'pa-vmax', worse: 'up' },
  { rule: 'grade.tr-gradient', species: ['dog'], measurement: 'tr-vmax', worse: 'up' },
  { rule: 'dog.dilated', species: ['dog'], measurement: 'lvids', worse: 'up' },
  { rule: 'cat.dilated', species: ['cat'], measurement: 'lvids', worse: 'up' },
  { rule: 'grade.ao-gradient', species: ['dog'], measurement: 'ao-vmax', worse: 'up' },
  { rule: 'cat.la-failure-range', species: ['cat'], measurement: 'la-long', worse: 'up' },
];
