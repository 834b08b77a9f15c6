import type { CaseView, ClipStatementRecord, Species, Structure, ViewId } from '@chordae/contract';
import { viewNames } from './names';

/**
 * Which structures a standard view shows: what must be seen in it, and what is measured on it. Views of dog and cat after
 * Thomas et al. 1993 (J Vet Intern Med 7:247-252), of the horse after Long, Bonagura & Darke 1992 (from memory); which
 * structure each shows is common practice. Rhythm is no view's: any moving picture shows its own few seconds of it.
 */
const SHOWN_IN: Record<Exclude<Structure, 'rhythm'>, readonly ViewId[]> = {
  'pericardium-pleura': ['effusion-sweep', 'lung-points'],
  'left-ventricle': [
    'rps-long-4ch',
    'rps-short-papillary',
    'rps-short-chordae',
    'lap-4ch',
    'eq-r-4ch',
    'eq-r-short-papillary',
    'eq-l-2ch',
  ],
  'left-atrium': ['rps-long-4ch', 'rps-short-aortic', 'lap-4ch', 'eq-r-4ch', 'eq-l-2ch'],
  mitral: ['rps-long-4ch', 'rps-short-mitral', 'lap-4ch', 'eq-r-4ch', 'eq-l-2ch'],
  'aortic-outflow': [
    'rps-long-outflow',
    'rps-short-aortic',
    'lap-5ch',
    'subcostal-outflow',
    'eq-r-lvot',
    'eq-l-lvot',
  ],
  'right-heart': ['rps-long-4ch', 'rps-short-papillary', 'lap-4ch', 'lcr-base', 'eq-r-4ch', 'eq-r-rv'],
  'tricuspid-pulmonic': ['rps-short-pulmonary', 'lap-4ch', 'lcr-base', 'eq-r-rv'],
  'great-vessels': [
    'rps-long-outflow',
    'rps-short-pulmonary',
    'lcr-base',
    'subcostal-outflow',
    'eq-r-lvot',
    'eq-r-rv',
  ],
};

/** Scanned in every species alike (common practice). */
const OF_ALL_SPECIES: readonly ViewId[] = ['effusion-sweep', 'lung-points'];

/** Views that show a structure in a species: `viewsOfStructure('mitral', 'cat')` begins with 'rps-long-4ch'. */
export function viewsOfStructure(structure: Structure, species: Species): ViewId[] {
  if (structure === 'rhythm') return [];
  return SHOWN_IN[structure].filter(
    (view) => OF_ALL_SPECIES.includes(view) || view.startsWith('eq-') === (species === 'horse'),
  );
}

/** 'It is seen in: lung points.', or that no view of the set shows it. */
export function saySeenIn(views: readonly ViewId[]): string {
  return views.length === 0
    ? 'No standard view of this species shows it.'
    : `It is seen in: ${views.map((v) => viewNames[v]).join('; ')}.`;
}

/** A view that somebody looked at and judged. */
export interface JudgedView {
  readonly view: ViewId;
  readonly judged: 'adequate' | 'doubtful';
  readonly why: string;
}

/**
 * Views that were judged: a reader's newest judgement of each clip. What a reader found not possible is not among them, nor
 * what only a sender judged, unless the sender's are asked for.
 */
export function judgedViews(
  c: Pick<CaseView, 'statements'>,
  /** Whose judgement counts: the reader's of an opinion, or of who scanned in a scan report. */
  whose: 'reader' | 'sender' = 'reader',
): JudgedView[] {
  const newest = new Map<string, ClipStatementRecord>();
  for (const said of c.statements) {
    if (said.side !== whose || said.statement.kind !== 'judgement') continue;
    const before = newest.get(said.clipId);
    if (!before || said.at >= before.at) newest.set(said.clipId, said);
  }
  return [...newest.values()].flatMap(({ statement }): JudgedView[] =>
    statement.kind === 'judgement' && statement.judged !== 'not-possible'
      ? [{ view: statement.view, judged: statement.judged, why: statement.why }]
      : [],
  );
}

/** The judged views that show a structure; any judged view carries a few seconds of rhythm. */
export function judgedFor(
  structure: Structure,
  species: Species,
  judged: readonly JudgedView[],
): JudgedView[] {
  if (structure === 'rhythm') return [...judged];
  const shown = viewsOfStructure(structure, species);
  return judged.filter((j) => shown.includes(j.view));
}
