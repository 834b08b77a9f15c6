import type {
  IndexResult,
  Interpretation,
  MeasurementRecord,
  ObservationCode,
  ObservationRecord,
  Species,
  StateAtScan,
  Structure,
} from '@chordae/contract';
import { sayCaution } from './cautions';
import { sayIndex, sayPosition } from './indices';
import { checkNames, nameOf, observationNames, structureNames, viewNames } from './names';
import { capital, listOf } from './numbers';
import { stateValueNames } from './state-at-scan';
import { type Aspect, observedFindings, structureChecks, structureIndices } from './structure-facts';
import { type JudgedView, judgedFor, saySeenIn, viewsOfStructure } from './structure-views';

/** What sentences may be proposed from. Only what stands; what a machine saw alone is never a finding. */
export interface ProposalFacts {
  readonly species: Species;
  readonly interpretation: Interpretation;
  readonly measurements: readonly MeasurementRecord[];
  readonly observations: readonly ObservationRecord[];
  readonly judged: readonly JudgedView[];
  readonly rhythm: StateAtScan['rhythm'];
}

export interface FindingProposal {
  readonly structure: Structure;
  /** The sentences; null where nothing may be proposed. */
  readonly text: string | null;
  /** Why nothing is proposed, or on which judged views the proposal rests. */
  readonly because: string;
}

/** Cautions that belong beside the number whenever it is said, most telling first. At most two are said. */
const SAID_WITH_IT = [
  'VIEW_DOUBTFUL',
  'WEIGHT_GUESSED',
  'WEIGHT_NOT_LEAN',
  'DIURETIC_SHRINKS_ATRIUM',
  'FUNCTION_IN_MITRAL_LEAK',
  'DRY_PATIENT',
  'SEDATED_SIZES',
  'SEDATED_FUNCTION',
  'GRADIENT_NEEDS_ALIGNMENT',
  'GRADIENT_READS_LOW_SEDATED',
  'GRADIENT_RISES_WHILE_GROWING',
  'ONE_SEGMENT_ONLY',
  'OTHER_LIMITS_DISAGREE',
  'MIXED_VIEWS_OR_METHODS',
  'AGE_NOT_KNOWN',
] as const;
const MOST_CAUTIONS = 2;
/** Where the usual words would put one into an opinion that a reader must not find there, not even in quotes. */
const OWN_WORDS: Readonly<Record<string, string>> = {
  FUNCTION_IN_MITRAL_LEAK: 'With a mitral leak, FS or EF within its limits may still be failing muscle.',
};

/**
 * A sentence or two about one structure, from what was measured and noted, and only where a view that shows it was judged.
 * It never says that something is as it should be: a number is within the limits of a named source, what was not seen is
 * not excluded, and what was not assessed is listed.
 */
export function proposeFinding(structure: Structure, facts: ProposalFacts): FindingProposal {
  const views = judgedFor(structure, facts.species, facts.judged);
  if (views.length === 0) return { structure, text: null, because: nothingJudged(structure, facts.species) };
  const torn: string[] = [];
  const numbers = structureIndices[structure].flatMap((aspect) => pick(aspect, facts, torn));
  const seen = observed(structure, facts);
  const told = [
    ...numbers.map(indexSentence),
    ...(structure === 'pericardium-pleura' ? bLines(facts.measurements) : []),
    ...(structure === 'rhythm' ? rhythmTold(facts.rhythm) : []),
    ...seen.sentences,
  ];
  const names = [...new Set(views.map((v) => viewNames[v.view]))].join('; ');
  if (told.length === 0)
    return {
      structure,
      text: null,
      because: `Judged in: ${names}. Nothing was measured or noted on it that a sentence could rest on.`,
    };
  return {
    structure,
    text: [...told, ...cautions(numbers), ...doubts(structure, facts, { views, torn, open: seen.open })].join(
      ' ',
    ),
    because: structure === 'rhythm' ? 'From what was told and counted.' : `Judged in: ${names}.`,
  };
}

/** One proposal for each structure, in reading order. */
export function proposeFindings(facts: ProposalFacts): FindingProposal[] {
  return (Object.keys(structureNames) as Structure[]).map((s) => proposeFinding(s, facts));
}

function nothingJudged(structure: Structure, species: Species): string {
  if (structure === 'rhythm') return 'No view was judged.';
  return `No view of it was judged. ${saySeenIn(viewsOfStructure(structure, species))}`;
}

/**
 * Of indices that tell the same, the first that was computed, and the first other that lies elsewhere: a disagreement is
 * said, not hidden. One whose numbers contradict each other is left out by name.
 */
function pick(aspect: Aspect, facts: ProposalFacts, torn: string[]): IndexResult[] {
  const doubted = new Set(
    facts.interpretation.flags
      .filter((f) => f.rule.id.startsWith('check.'))
      .flatMap((f) => f.evidence.measurementIds),
  );
  const there: IndexResult[] = [];
  for (const code of aspect.codes) {
    const index = facts.interpretation.indices.find((i) => i.code === code);
    if (!index) continue;
    if (index.measurementIds.some((id) => doubted.has(id))) torn.push(code);
    else there.push(index);
  }
  const graded = there.filter((i) => i.position !== 'not-graded' || i.grades.length > 0);
  const isOut = (i: IndexResult) => i.position === 'above' || i.position === 'below';
  if (aspect.onlyOutside) return graded.filter(isOut).slice(0, 1);
  const first = graded[0] ?? there[0];
  if (!first) return [];
  const other = graded.find((i) => i !== first && i.position !== first.position);
  return other ? [first, other] : [first];
}

function indexSentence(index: IndexResult): string {
  const said = sayIndex(index);
  const name = said.full === said.short ? capital(said.full) : `${capital(said.full)} (${said.short})`;
  const ungraded = index.position === 'not-graded' && index.grades.length === 0;
  const reason = ungraded ? index.cautions.map(sayCaution).find((c) => c.startsWith('Not graded: ')) : null;
  const place = reason ? reason.charAt(0).toLowerCase() + reason.slice(1, -1) : sayPosition(index);
  const grading = index.limits.find((l) => !l.comparisonOnly && (l.lower !== null || l.upper !== null));
  const status =
    ungraded || !grading
      ? ''
      : grading.source.status === 'memory'
        ? ' (limit from memory, to be checked)'
        : grading.source.status === 'common practice'
          ? ' (limit of common practice, without a source)'
          : '';
  return `${name} ${said.value}: ${place}${status}.`;
}

function cautions(numbers: readonly IndexResult[]): string[] {
  const all = numbers.flatMap((n) => n.cautions);
  const told = SAID_WITH_IT.flatMap((code) => {
    const found = all.find((c) => c.code === code);
    return found ? [OWN_WORDS[code] ?? sayCaution(found)] : [];
  });
  return [...new Set(told)].slice(0, MOST_CAUTIONS);
}

/** What was noted by people: a reader's answer stands before a sender's. */
function observed(structure: Structure, facts: ProposalFacts): { sentences: string[]; open: string[] } {
  const sentences: string[] = [];
  const open: string[] = [];
  for (const [code, finding] of Object.entries(observedFindings)) {
    if (!finding.in.includes(structure)) continue;
    const answer = standingAnswer(code as ObservationCode, facts.observations);
    if (!answer?.value) continue;
    const says = finding.says[answer.value];
    if (says === undefined) open.push(observationNames[code as ObservationCode]);
    else sentences.push(answer.side === 'reader' ? `${capital(says)}.` : `By the sender: ${says}.`);
  }
  return { sentences, open };
}

function standingAnswer(
  code: ObservationCode,
  all: readonly ObservationRecord[],
): ObservationRecord | undefined {
  const people = all.filter(
    (o) => o.code === code && o.supersededById === null && o.value !== null && o.side !== 'machine',
  );
  const readers = people.filter((o) => o.side === 'reader');
  return (readers.length > 0 ? readers : people).reduce<ObservationRecord | undefined>(
    (best, o) => (best === undefined || o.madeAt >= best.madeAt ? o : best),
    undefined,
  );
}

/** B-lines as they were counted, by side; how many points were looked at is part of it. */
function bLines(all: readonly MeasurementRecord[]): string[] {
  const side = (letter: 'l' | 'r', name: string): string[] => {
    const counts = countsByPoint(all, `b-lines-${letter}`);
    if (counts.length === 0) return [];
    const sum = counts.reduce((total, count) => total + count, 0);
    return [`${sum} at ${counts.length} ${counts.length === 1 ? 'point' : 'points'} on the ${name}`];
  };
  const sides = [...side('l', 'left'), ...side('r', 'right')];
  return sides.length === 0 ? [] : [`B-lines counted: ${listOf(sides)}.`];
}

/** One count for each point that people counted at: the reader's before the sender's, the largest of several beats. */
function countsByPoint(all: readonly MeasurementRecord[], prefix: string): number[] {
  const people = all.filter(
    (m) => m.code.startsWith(prefix) && m.supersededById === null && !m.withdrawn && m.side !== 'machine',
  );
  return [...new Set(people.map((m) => m.code))].map((code) => {
    const there = people.filter((m) => m.code === code);
    const readers = there.filter((m) => m.side === 'reader');
    return Math.max(...(readers.length > 0 ? readers : there).map((m) => m.value));
  });
}

function rhythmTold(rhythm: StateAtScan['rhythm']): string[] {
  if (rhythm === null || rhythm === 'unknown') return [];
  return [`Rhythm at the scan, by the sender: ${stateValueNames.rhythm[rhythm]}.`];
}

/** What was not assessed, what contradicts itself, and views that were judged doubtful. */
function doubts(
  structure: Structure,
  facts: ProposalFacts,
  found: { views: readonly JudgedView[]; torn: readonly string[]; open: readonly string[] },
): string[] {
  const open = [
    ...facts.interpretation.checks.notAssessed
      .filter((code) => structureChecks[structure].includes(code))
      // Its rhythm is told; that the check lacks the rate is said below.
      .filter((code) => code !== 'rhythm' || rhythmTold(facts.rhythm).length === 0)
      .map((code) => checkNames[code] ?? code),
    ...found.open,
  ];
  const told: string[] = [];
  if (open.length > 0) told.push(`Not assessed: ${listOf([...new Set(open)])}.`);
  if (found.torn.length > 0)
    told.push(`Not used, because its numbers contradict each other: ${listOf(found.torn.map(nameOf))}.`);
  if (structure === 'rhythm') {
    if (!facts.measurements.some((m) => m.code === 'heart-rate' && !m.supersededById && !m.withdrawn))
      told.push('The heart rate was not given: the rhythm was not checked against it.');
    told.push('An arrhythmia at another time is not excluded.');
  }
  if (structure !== 'rhythm' && found.views.every((v) => v.judged === 'doubtful')) {
    const whys = [
      ...new Set(found.views.map((v) => v.why.trim().replace(/\.$/, '')).filter((w) => w !== '')),
    ];
    told.push(
      `Seen only in a view that was judged doubtful${whys.length > 0 ? ` (${whys.join('; ')})` : ''}.`,
    );
  }
  return told;
}
