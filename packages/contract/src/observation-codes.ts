import { z } from 'zod';

const yesNo = ['yes', 'no', 'not-seen'] as const;
const amount = ['none', 'small', 'moderate', 'large', 'not-seen'] as const;

/** Every coded observation: what may be answered, and whether it is a tick box of the sender (`tick`) or a finding. */
export const observationCodes = {
  /** The distress switch: one touch that stops every request for more views. */
  'scanning-stopped': { kind: 'tick', values: ['yes', 'no'] },
  'open-mouth-breathing': { kind: 'tick', values: ['yes', 'no'] },
  'blue-gums': { kind: 'tick', values: ['yes', 'no'] },
  'cannot-lie': { kind: 'tick', values: ['yes', 'no'] },
  'breathing-effort': { kind: 'tick', values: ['yes', 'no'] },
  collapse: { kind: 'tick', values: ['yes', 'no'] },
  fainting: { kind: 'tick', values: ['yes', 'no'] },
  'weak-pulses-or-pale': { kind: 'tick', values: ['yes', 'no'] },
  'cold-painful-limb': { kind: 'tick', values: ['yes', 'no'] },
  'sudden-paralysis': { kind: 'tick', values: ['yes', 'no'] },
  fever: { kind: 'tick', values: ['yes', 'no'] },
  'dark-urine': { kind: 'tick', values: ['yes', 'no'] },
  'dry-or-bled': { kind: 'tick', values: ['yes', 'no'] },
  'blue-hind-end': { kind: 'tick', values: ['yes', 'no'] },
  'bleeding-or-rodent-poison': { kind: 'tick', values: ['yes', 'no'] },
  'murmur-grade': { kind: 'history', values: ['0', '1', '2', '3', '4', '5', '6', 'not-heard-for'] },
  'murmur-new': { kind: 'history', values: ['yes', 'no'] },
  'murmur-continuous': { kind: 'history', values: ['yes', 'no'] },
  'pericardial-fluid-known-before': { kind: 'history', values: ['yes', 'no', 'unknown'] },
  'ever-in-failure': { kind: 'history', values: ['yes', 'no', 'unknown'] },
  arrhythmia: { kind: 'history', values: ['yes', 'no', 'wide-beats-in-runs'] },
  /** How the systolic pressure was taken: values by different methods are not the same. */
  'pressure-method': { kind: 'history', values: ['doppler', 'oscillometric', 'other'] },
  /** Which kind of test gave the NT-proBNP: a number of one kind says nothing by the limits of another. */
  'nt-probnp-assay': {
    kind: 'history',
    values: ['laboratory-number', 'in-clinic-number', 'in-clinic-yes-no', 'other', 'unknown'],
  },
  'pericardial-fluid': { kind: 'finding', values: amount },
  'clot-in-sac': { kind: 'finding', values: yesNo },
  'wall-collapse': { kind: 'finding', values: yesNo },
  'organ-in-sac': { kind: 'finding', values: yesNo },
  'pleural-fluid': { kind: 'finding', values: amount },
  'b-lines': { kind: 'finding', values: ['none', 'few', 'many-one-side', 'many-both-sides', 'not-seen'] },
  'lung-sliding': { kind: 'finding', values: yesNo },
  'la-clot': { kind: 'finding', values: ['none', 'fixed', 'floating', 'smoke', 'not-seen'] },
  'la-by-eye': { kind: 'finding', values: ['not-large', 'large', 'very-large', 'not-seen'] },
  'septum-flat': { kind: 'finding', values: yesNo },
  'rv-as-large-as-lv': { kind: 'finding', values: yesNo },
  'worms-in-right-heart': { kind: 'finding', values: yesNo },
  'valve-lump': { kind: 'finding', values: yesNo },
  'duct-flow': { kind: 'finding', values: yesNo },
  'cavity-closes': { kind: 'finding', values: yesNo },
  'aortic-root-tear': { kind: 'finding', values: yesNo },
  'outlet-narrow': { kind: 'finding', values: yesNo },
  'right-atrium': { kind: 'finding', values: ['not-large', 'large', 'not-seen'] },
  'mitral-prolapse': { kind: 'finding', values: yesNo },
  sam: { kind: 'finding', values: yesNo },
  'regional-hypokinesis': { kind: 'finding', values: yesNo },
} as const satisfies Record<string, { kind: 'tick' | 'history' | 'finding'; values: readonly string[] }>;

export type ObservationCode = keyof typeof observationCodes;
export const observationCode = z.enum(
  Object.keys(observationCodes) as [ObservationCode, ...ObservationCode[]],
);
