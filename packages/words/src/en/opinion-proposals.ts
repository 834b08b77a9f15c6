import type { Interpretation } from '@chordae/contract';
import { sayView } from './cautions';
import { sayViewCompleteness } from './completeness';
import { capital } from './numbers';
import { sayStage, stageSchemeName, stageText } from './stages';

/** The longest stage that an opinion takes, in characters. */
const STAGE_LENGTH = 120;

/** What the engine says of a scheme without naming a stage: it asks for something, or leaves the question open. */
const NO_STAGE: ReadonlySet<string> = new Set([
  'b1-or-b2-needs-atrium-judged',
  'echo-criteria-b2-not-met',
  'dcm-score-open',
  'dcm-score-not-reached',
]);

export interface StageProposal {
  readonly scheme: string;
  /** What would be written in the field; null where the engine names no stage. */
  readonly text: string | null;
  /** The same as a sentence with its scheme. */
  readonly said: string;
  /** What is met, not met and not given, and by which source. */
  readonly because: string[];
}

/** Stages that the engine found, as they may be written; the criteria stand beside them. None is chosen by itself. */
export function proposeStages(stages: Interpretation['stages']): StageProposal[] {
  return stages.map((stage) => {
    const code = capital(stageText(stage.code));
    const long = `${code} (${stageSchemeName(stage.scheme)})`;
    const text = long.length <= STAGE_LENGTH ? long : code;
    const said = sayStage(stage);
    return {
      scheme: stage.scheme,
      text: NO_STAGE.has(stage.code) || text.length > STAGE_LENGTH ? null : text,
      said: said.sentence,
      because: [...said.reasons, ...said.sources.map((s) => `Source: ${s}.`)],
    };
  });
}

export interface RescanProposal {
  readonly view: string;
  /** One sentence that may be put into 'to scan again'. */
  readonly text: string;
}

/**
 * What to scan again and how, from the engine's own order. Empty while the patient is in distress: then nothing is asked.
 */
export function proposeRescan(completeness: Interpretation['completeness']): RescanProposal[] {
  if (completeness.againHeld !== null) return [];
  return completeness.again.map((again) => {
    const why = again.why ? ` (${again.why.trim().replace(/\.$/, '')})` : '';
    const { how } = sayViewCompleteness({ ...again, clipIds: [] });
    return {
      view: again.view,
      text: `${capital(sayView(again.view))}, ${again.state}${why}${how ? `: ${how.charAt(0).toLowerCase()}${how.slice(1)}` : '.'}`,
    };
  });
}

const DAYS_IN = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31] as const;

/**
 * A day so many months after another, the last of the month where it has no such day:
 * `monthsAfter('2026-08-31', 6)` is '2027-02-28'. Empty when the first is no day.
 */
export function monthsAfter(isoDay: string, months: number): string {
  const found = /^(\d{4})-(\d\d)-(\d\d)$/.exec(isoDay);
  if (!found) return '';
  const at = Number(found[1]) * 12 + Number(found[2]) - 1 + months;
  const year = Math.floor(at / 12);
  const month = at % 12;
  const leap = year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0);
  const last = month === 1 && leap ? 29 : (DAYS_IN[month] ?? 31);
  const two = (n: number) => String(n).padStart(2, '0');
  return `${year}-${two(month + 1)}-${two(Math.min(Number(found[3]), last))}`;
}
