import type { MeasurementCode, ObservationCode } from '@chordae/contract';
import type { CaseFacts } from './case-facts';
import { answered, reading } from './case-facts';
import { lungSites } from './rules/lungs';

type Check = { code: string; ran: (facts: CaseFacts) => boolean };

const said = (facts: CaseFacts, ...codes: ObservationCode[]): boolean =>
  codes.some((code) => (facts.answers.get(code) ?? []).some((a) => !a.machineOnly && a.value !== 'not-seen'));
const measured = (facts: CaseFacts, ...codes: MeasurementCode[]): boolean =>
  codes.every((code) => reading(facts, code) !== null);

/** What a heart can be looked at for. A check 'ran' when what it needs was given; it does not say that all is well. */
const CHECKS: readonly Check[] = [
  {
    code: 'breathing-distress',
    ran: (f) =>
      answered(f, 'scanning-stopped', 'yes') !== null ||
      said(f, 'open-mouth-breathing', 'blue-gums', 'cannot-lie', 'breathing-effort'),
  },
  { code: 'circulation', ran: (f) => said(f, 'collapse', 'weak-pulses-or-pale', 'fainting') },
  { code: 'embolism-signs', ran: (f) => said(f, 'cold-painful-limb', 'sudden-paralysis') },
  { code: 'pericardial-fluid', ran: (f) => said(f, 'pericardial-fluid') },
  { code: 'pleural-fluid', ran: (f) => said(f, 'pleural-fluid') },
  { code: 'lungs', ran: (f) => said(f, 'b-lines') || lungSites(f) !== null },
  { code: 'left-ventricle-size', ran: (f) => measured(f, 'lvidd') && (f.species !== 'dog' || f.kg !== null) },
  {
    code: 'left-ventricle-function',
    ran: (f) => measured(f, 'lvidd', 'lvids') || measured(f, 'lv-edv', 'lv-esv'),
  },
  { code: 'walls', ran: (f) => measured(f, 'wall-max-d') || measured(f, 'ivsd', 'lvwd') },
  {
    code: 'left-atrium',
    ran: (f) => measured(f, 'la-sax', 'ao-sax') || measured(f, 'la-long') || said(f, 'la-by-eye'),
  },
  { code: 'atrial-clot', ran: (f) => said(f, 'la-clot') },
  { code: 'aortic-outflow', ran: (f) => measured(f, 'ao-vmax') },
  { code: 'pulmonic-outflow', ran: (f) => measured(f, 'pa-vmax') },
  { code: 'right-heart', ran: (f) => said(f, 'rv-as-large-as-lv', 'septum-flat', 'right-atrium') },
  { code: 'pulmonary-pressure', ran: (f) => measured(f, 'tr-vmax') },
  { code: 'valves', ran: (f) => said(f, 'valve-lump', 'mitral-prolapse') },
  {
    code: 'ducts-and-shunts',
    ran: (f) => said(f, 'duct-flow', 'murmur-continuous') || measured(f, 'duct-vmax'),
  },
  { code: 'rhythm', ran: (f) => measured(f, 'heart-rate') && (said(f, 'arrhythmia') || knownRhythm(f)) },
  { code: 'murmur', ran: (f) => said(f, 'murmur-grade') },
];

function knownRhythm(facts: CaseFacts): boolean {
  const { rhythm } = facts.input.state;
  return rhythm !== null && rhythm !== 'unknown';
}

/** How many checks could run, and what was not assessed: silence is no all-clear. */
export function checksOf(facts: CaseFacts): {
  ran: number;
  of: number;
  notAssessed: string[];
  could: string[];
} {
  const could: string[] = [];
  const notAssessed: string[] = [];
  for (const check of CHECKS) (check.ran(facts) ? could : notAssessed).push(check.code);
  return { ran: could.length, of: CHECKS.length, notAssessed, could };
}

/** Codes of all checks, for the words. */
export const checkCodes = CHECKS.map((c) => c.code);
