import type {
  Difference,
  EngineNews,
  IndexChange,
  ScanAgain,
  SerialFinding,
  Turn,
  WordData,
} from '@chordae/contract';
import { gradeText } from './indices';
import { checkNames, measurementNames, nameOf, viewNames } from './names';
import { capital, formatNumber, formatWithUnit, listOf } from './numbers';
import { sayDay } from './printed-page';
import { sayFlagCode } from './say-flag';
import { stageSchemeName, stageText } from './stages';
import { sayStateValue, stateNames } from './state-at-scan';

const POSITION: Record<string, string> = {
  below: 'below its limit',
  within: 'within its limits',
  above: 'above its limit',
  'not-graded': 'not graded',
};

const grade = (code: string | null): string => (code === null ? 'no grade' : gradeText(code));
const stagesText = (codes: readonly string[]): string =>
  codes.length > 0 ? listOf(codes.map(stageText)) : 'nothing said';

/** A flag by its code and key, where the sentence with its numbers is not at hand: 'EPSS outside its limit'. */
function sayFlagOf(code: string, key: string): string {
  const index = /^limit\.([a-z0-9-]+)/.exec(key)?.[1];
  return code === 'OUTSIDE_LIMIT' && index !== undefined
    ? `${nameOf(index)} outside its limit`
    : sayFlagCode(code);
}

/**
 * One difference between two answers, with the other one in brackets: 'LA:Ao above its limit (now within its limits)'.
 * `against` says what the other answer is: the one that stands now, or the one that was given before.
 */
export function sayDifference(d: Difference, against: 'now' | 'before'): string {
  const other = (text: string): string => ` (${against} ${text})`;
  switch (d.kind) {
    case 'position':
      return `${nameOf(d.index)} ${POSITION[d.to] ?? d.to}${other(POSITION[d.from] ?? d.from)}`;
    case 'grade':
      return `${nameOf(d.index)} ${grade(d.to)} on '${d.scale}'${other(grade(d.from))}`;
    case 'stage':
      // What stands now is on the screen already, at length.
      return `${stageSchemeName(d.scheme)}: ${stagesText(d.to)}${against === 'before' ? other(stagesText(d.from)) : ''}`;
    case 'flag':
      return `${d.change === 'appears' ? 'this flag appears' : 'this flag goes'}: ${sayFlagOf(d.code, d.key)}`;
    case 'urgency':
      return `urgency ${d.to}${other(d.from)}`;
  }
}

/** 'LA (short axis) 24.1 mm instead of 23.8 mm: LA:Ao above its limit.' */
export function sayTurn(turn: Turn): string {
  const name = turn.input === 'weight' ? 'Body weight' : measurementNames[turn.input].short;
  const digits = (value: number): string =>
    turn.unit === 'kg' ? `${formatNumber(value, 1)} kg` : formatWithUnit(value, turn.unit, turn.from);
  // A flag that comes with a change already said needs no second word.
  const besides = turn.changes.filter((c) => c.kind !== 'flag');
  const said = besides.length > 0 ? besides : turn.changes;
  const first = said.slice(0, 2).map((c) => sayDifference(c, 'now'));
  const more = said.length - first.length;
  return `${capital(name)} ${digits(turn.to)} instead of ${digits(turn.from)}: ${first.join('; ')}${more > 0 ? `; and ${more} more` : ''}.`;
}

const signed = (change: IndexChange): string => {
  const text = formatWithUnit(Math.abs(change.difference), change.unit);
  if (Number.parseFloat(text) === 0) return 'no difference';
  return `${change.difference < 0 ? '−' : '+'}${text}`;
};

/** 'LA:Ao 1.90, was 1.61 on 3 February 2026: +0.29; a change is told from measuring error from 0.49: cannot be told.' */
export function sayChange(change: IndexChange): string {
  const head = `${nameOf(change.index)} ${formatWithUnit(change.now, change.unit)}, was ${formatWithUnit(change.earlier, change.unit)} on ${sayDay(change.earlierOn)}${change.against === 'first' ? ' (first scan)' : ''}: ${signed(change)}`;
  if (change.verdict === 'not-compared') return `${head}. Not compared.`;
  const from = change.smallest === null ? '' : ` (told from ${formatWithUnit(change.smallest, change.unit)})`;
  if (change.verdict === 'cannot-be-told')
    return `${head}; cannot be told from measuring error${from}${change.operators === 'different' ? ', two operators' : ''}.`;
  return `${head}; more than measuring error explains${from}.`;
}

const cautions: Record<string, (d: WordData) => string> = {
  OTHER_MEASUREMENT: () => 'The two were made from other measurements.',
  OTHER_VIEW: () => 'The two were measured on other views.',
  OTHER_METHOD: () => 'The two were measured by other methods.',
  OTHER_ASSAY: () =>
    'NT-proBNP is compared only where both were measured by the same kind of test; that is not known here.',
  STATE_FORBIDS: () => 'In one of the two scans the state of the animal forbids grading.',
  STATE_DIFFERS: (d) =>
    `${capital(stateNames[d.field as keyof typeof stateNames])} differs: now ${sayStateValue(String(d.field), d.now)}, then ${sayStateValue(String(d.field), d.earlier)}.`,
  WEIGHT_ENTERS: (d) =>
    `The weight enters this index: now ${formatNumber(Number(d.nowKg), 1)} kg, then ${formatNumber(Number(d.thenKg), 1)} kg.`,
  WEIGHT_DIFFERS: (d) =>
    `The weight differs: now ${formatNumber(Number(d.nowKg), 1)} kg, then ${formatNumber(Number(d.thenKg), 1)} kg.`,
  REPEATABILITY_NOT_KNOWN: () => 'How well this can be repeated was not found: no change is called one.',
};

/** A caution of a comparison in words. */
export function sayChangeCaution(caution: { code: string; data: WordData }): string {
  return cautions[caution.code]?.(caution.data) ?? `A caution without a sentence yet: ${caution.code}.`;
}

const findings: Record<SerialFinding['code'], (d: WordData) => string> = {
  TRANSIENT_THICKENING_DEFINITION_MET: (d) =>
    `Walls ${formatNumber(Number(d.wallThenMm), 1)} mm with failure then, ${formatNumber(Number(d.wallNowMm), 1)} mm without it now, and the left atrium smaller: meets the published definition of transient thickening (Novo Matos 2018).`,
};

/** A finding of a course over time in words. */
export function saySerialFinding(finding: SerialFinding): string {
  return findings[finding.code](finding.data);
}

/** Codes of comparisons that have words. */
export const changeCodesInWords: readonly string[] = [...Object.keys(cautions), ...Object.keys(findings)];

/** 'Scan the short axis at the aortic valve again (doubtful: oval): it gives LA and Ao, and lets one judge the left atrium.' */
export function sayScanAgain(again: ScanAgain): string {
  const gives = again.measurements.map((code) => measurementNames[code].short);
  const opens = again.opens.map((code) => checkNames[code] ?? code);
  const parts = [
    ...(gives.length > 0 ? [`gives ${listOf(gives)}`] : []),
    ...(opens.length > 0 ? [`lets one judge ${listOf(opens)}`] : []),
  ];
  const why = again.state === 'doubtful' && again.why ? ` (doubtful: ${again.why})` : '';
  const verb = again.state === 'doubtful' ? 'Scan again' : 'Still to scan';
  return `${verb}: ${viewNames[again.view]}${why}${parts.length > 0 ? `. It ${parts.join(' and ')}` : ''}.`;
}

/** Why nothing is asked for, and what can be said without it. */
export function sayWithoutIt(withoutIt: readonly string[]): string {
  return withoutIt.length === 0
    ? 'Without it nothing can be judged yet.'
    : `Without it these can be judged all the same: ${listOf(withoutIt.map((code) => checkNames[code] ?? code))}.`;
}

/** For a patient in distress: no view is asked for. */
export const AGAIN_HELD =
  'This patient is in distress: nothing more is asked for. Treat on what is known now; scan on only when it can bear it.';

/**
 * That newer rules say something else about an open case. Where the version is the same, only limits changed, and that is
 * said instead of '0.3.0 to 0.3.0'.
 */
export function sayEngineNews(news: EngineNews): string {
  const what =
    news.fromVersion === news.toVersion
      ? `The limits changed since this case was first computed (engine ${news.toVersion} as before)`
      : `The rules changed since this case was first computed (${news.fromVersion} to ${news.toVersion})`;
  const count =
    news.differences.length === 1 ? 'one answer differs' : `${news.differences.length} answers differ`;
  return `${what}: ${count}.`;
}
