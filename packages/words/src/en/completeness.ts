import type { Interpretation, MeasurementCode, ViewCompleteness } from '@chordae/contract';
import { checkNames, measurementNames, nameOf, observationNames, viewNames } from './names';
import { capital, listOf } from './numbers';
import { viewGuides } from './view-guide';

const STATES: Record<ViewCompleteness['state'], string> = {
  received: 'received, not yet judged',
  adequate: 'adequate',
  doubtful: 'doubtful',
  missing: 'missing',
  'not-possible': 'not possible',
};

export interface SaidView {
  name: string;
  state: string;
  sentence: string;
  /** How to get it: where the probe goes, which way to turn; null where it is there. */
  how: string | null;
}

/** A view of the plan in words. */
export function sayViewCompleteness(view: ViewCompleteness): SaidView {
  const name = viewNames[view.view];
  const need = view.need === 'must' ? 'needed' : 'helps';
  const why = view.why ? `: ${view.why}` : '';
  const wanted = view.state === 'missing' || view.state === 'doubtful';
  return {
    name,
    state: STATES[view.state],
    sentence: `${capital(name)}: ${STATES[view.state]}${why} (${need}).`,
    how: wanted ? viewGuides[view.view].how : null,
  };
}

/**
 * '0 flags from 6 of 19 checks'; where no check could run, a flag (a breed's Holter, a value to correct) is not said to come
 * from one: '1 flag; none of 19 checks could run'.
 */
function flagsAndChecks(flagCount: number, { ran, of }: Interpretation['checks']): string {
  const flags = `${flagCount} ${flagCount === 1 ? 'flag' : 'flags'}`;
  return ran === 0 ? `${flags}; none of ${of} checks could run` : `${flags} from ${ran} of ${of} checks`;
}

/** '0 flags from 6 of 19 checks; not assessed: lungs, rhythm.' Never an all-clear. */
export function sayChecks(flagCount: number, checks: Interpretation['checks']): string {
  const rest = checks.notAssessed.map((code) => checkNames[code] ?? code);
  const tail = rest.length === 0 ? 'all were assessed.' : `not assessed: ${rest.join(', ')}.`;
  return `${flagsAndChecks(flagCount, checks)}; ${tail}`;
}

/** The same where there is little room: '0 flags from 6 of 19 checks; 13 not assessed.' */
export function sayChecksShort(flagCount: number, checks: Interpretation['checks']): string {
  const rest = checks.notAssessed.length;
  const tail = rest === 0 ? 'all were assessed.' : `${rest} not assessed.`;
  return checks.ran === 0
    ? `${flagsAndChecks(flagCount, checks)}.`
    : `${flagsAndChecks(flagCount, checks)}; ${tail}`;
}

const FIELDS: Record<string, string> = {
  'patient.weight': 'body weight',
  'patient.ageMonths': 'age',
  'state.sedative': 'sedation at the scan',
  'state.diuretic24h': 'diuretic in the last 24 hours',
  'state.fluids24h': 'fluids in the last 24 hours',
  'state.hydration': 'hydration',
  'state.rhythm': 'rhythm',
  'state.bodyCondition': 'body condition',
};

/** A field path of the sheet in words: `sayField('measurement.lvids')` is 'LVIDs (left ventricle in systole)'. */
export function sayField(field: string): string {
  const known = FIELDS[field];
  if (known) return known;
  const kind = field.slice(0, field.indexOf('.'));
  const code = field.slice(field.indexOf('.') + 1);
  if (kind === 'measurement') {
    const names = measurementNames[code as MeasurementCode];
    return names ? `${names.short} (${names.full})` : code;
  }
  if (kind === 'observation') return observationNames[code as keyof typeof observationNames] ?? code;
  if (kind === 'view') return viewNames[code as keyof typeof viewNames] ?? code;
  return field;
}

const SCHEMES: Record<string, string> = { 'acvim-mmvd-2019': 'the stage of mitral disease' };

/** 'Body weight is missing: LVIDDN and LVIDSN are not computed.' */
export function sayMissing(missing: { code: string; field: string; blocks: string[] }): string {
  const field = capital(sayField(missing.field));
  if (missing.blocks.length === 0) return `${field} is not given.`;
  const blocks = missing.blocks.map((code) => SCHEMES[code] ?? nameOf(code));
  const verb = blocks.length === 1 ? 'is' : 'are';
  return `${field} is missing: ${listOf(blocks)} ${verb} not computed.`;
}
