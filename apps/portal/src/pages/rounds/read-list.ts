import { EMPTY_PLANNED, type PlannedPatient, type Sex, type Species } from '@chordae/contract';
import { breeds, parseWeight } from '@chordae/interpretation';
import { readBirth } from '../referrals/patient-form';

/** One line of a pasted list, read as far as it can be; a person looks at it before it counts. */
export interface ListLine {
  readonly raw: string;
  readonly planned: PlannedPatient;
  /** The practice under whose heading, or with whose name, it stands; null: to be chosen. */
  readonly practiceId: string | null;
  /** The species follows from the breed's name only: said, so that it is looked at. */
  readonly speciesFromBreed: boolean;
}

export interface PracticeName {
  readonly id: string;
  readonly name: string;
}

const SPECIES_WORDS: Readonly<Record<string, Species>> = {
  dog: 'dog',
  canine: 'dog',
  cat: 'cat',
  feline: 'cat',
  horse: 'horse',
  equine: 'horse',
  pony: 'horse',
  ferret: 'ferret',
  rabbit: 'rabbit',
};

type SexWord = readonly [sex: Sex, neutered: boolean | null];
/** As lists write it; common practice. A lone letter says nothing about neutering. */
const SEX_WORDS: Readonly<Record<string, SexWord>> = {
  f: ['female', null],
  m: ['male', null],
  female: ['female', null],
  male: ['male', null],
  fn: ['female', true],
  'f/n': ['female', true],
  fs: ['female', true],
  mn: ['male', true],
  'm/n': ['male', true],
  mc: ['male', true],
  fe: ['female', false],
  me: ['male', false],
  'female neutered': ['female', true],
  'neutered female': ['female', true],
  'female spayed': ['female', true],
  'spayed female': ['female', true],
  'male neutered': ['male', true],
  'neutered male': ['male', true],
  'male castrated': ['male', true],
  'female entire': ['female', false],
  'entire female': ['female', false],
  'male entire': ['male', false],
  'entire male': ['male', false],
};
/** These read as words in running text; single letters do so only in a cell of their own. */
const SEX_IN_TEXT =
  /\b(?:(?:neutered|spayed|entire)\s+(?:fe)?male|(?:fe)?male\s+(?:neutered|spayed|castrated|entire)|(?:fe)?male|fn|mn|f\/n|m\/n|fs|mc)\b/i;
const WEIGHT_IN_TEXT = /\b\d+(?:[.,]\d+)?\s*(?:kg|lbs?|pounds)\b/i;
const AGE_IN_TEXT =
  /\b\d{1,2}(?:[.,]\d)?\s*(?:y|yr|yrs|years?|mo|months?|w|weeks?)(?:\s*old)?(?![\p{L}\d])/iu;
const CHIP = /\b\d(?:[\s-]?\d){14}\b/;
const PHONE = /(?:\+|\b0)\d[\d\s/-]{6,}\d/;

const COLUMNS: Readonly<Record<string, keyof PlannedPatient | 'practice'>> = {
  name: 'name',
  patient: 'name',
  animal: 'name',
  species: 'species',
  breed: 'breedText',
  sex: 'sex',
  age: 'birth',
  born: 'birth',
  birth: 'birth',
  'date of birth': 'birth',
  weight: 'weight',
  'weight kg': 'weight',
  chip: 'chip',
  microchip: 'chip',
  keeper: 'keeperName',
  owner: 'keeperName',
  client: 'keeperName',
  telephone: 'keeperPhone',
  phone: 'keeperPhone',
  question: 'question',
  reason: 'question',
  complaint: 'question',
  note: 'note',
  notes: 'note',
  practice: 'practice',
  clinic: 'practice',
};

const tidy = (text: string): string => text.replace(/\s+/g, ' ').trim();
const plainWord = (text: string): string =>
  tidy(text)
    .toLowerCase()
    .replace(/[.:()[\]]/g, '')
    .trim();

/** The one practice whose name this is, or begins with it in at least four letters; null when none or several. */
function practiceIn(text: string, practices: readonly PracticeName[]): string | null {
  const wanted = plainWord(text);
  if (wanted.length < 4) return null;
  const whole = practices.filter((p) => plainWord(p.name) === wanted);
  const found =
    whole.length > 0 ? whole : practices.filter((p) => plainWord(p.name).startsWith(`${wanted} `));
  return found.length === 1 ? (found[0]?.id ?? null) : null;
}

/** Cells of a line: tabs, else semicolons, else bars, else commas that are no decimal commas. */
function cellsOf(line: string): string[] {
  const by = line.includes('\t') ? '\t' : line.includes(';') ? ';' : line.includes('|') ? '|' : null;
  const cells = by ? line.split(by) : line.split(/,(?!\d{1,3}\s*(?:kg|lb|y|mo?)\b)/i);
  return cells.map((cell) => tidy(cell.replace(/^"(.*)"$/, '$1')));
}

/** Names of columns where the line is a heading row: at least two known names and nothing else. */
function headingsOf(cells: readonly string[]): (keyof PlannedPatient | 'practice')[] | null {
  const named = cells.map((cell) => COLUMNS[plainWord(cell)]);
  return cells.length > 1 && named.every((n) => n !== undefined) ? named : null;
}

function breedNamed(text: string): { species: Species; name: string } | null {
  const wanted = plainWord(text);
  const whole = breeds.filter((b) => b.name.toLowerCase() === wanted);
  // 'Doberman' is the one breed whose name begins so; a shorter word, or one that fits several, is left open.
  const begun = wanted.length >= 5 ? breeds.filter((b) => b.name.toLowerCase().startsWith(wanted)) : [];
  const found = whole.length > 0 ? whole : begun.length === 1 ? begun : [];
  const first = found[0];
  return first && found.every((b) => b.species === first.species)
    ? { species: first.species, name: first.name }
    : null;
}

type Draft = { -readonly [K in keyof PlannedPatient]: PlannedPatient[K] };

function setSex(draft: Draft, word: string): boolean {
  const found = SEX_WORDS[plainWord(word)];
  if (!found) return false;
  [draft.sex, draft.neutered] = found;
  return true;
}

/** Puts one cell where it belongs by what it says; false when nothing but free words. */
function takeCell(draft: Draft, cell: string, now: Date): boolean {
  const word = plainWord(cell);
  if (SPECIES_WORDS[word] && draft.species === null) {
    draft.species = SPECIES_WORDS[word] ?? null;
    return true;
  }
  if (draft.sex === null && setSex(draft, cell)) return true;
  if (draft.weight === '' && parseWeight(cell, null).ok) {
    draft.weight = cell;
    return true;
  }
  if (draft.chip === '' && new RegExp(`^${CHIP.source}$`).test(cell)) {
    draft.chip = cell.replace(/[\s-]/g, '');
    return true;
  }
  if (draft.keeperPhone === '' && new RegExp(`^${PHONE.source}$`).test(cell)) {
    draft.keeperPhone = cell;
    return true;
  }
  // A bare number is no age: it could be anything.
  if (
    draft.birth === '' &&
    !/^\d{1,2}$/.test(cell) &&
    typeof readBirth(cell, now) === 'object' &&
    readBirth(cell, now)
  ) {
    draft.birth = cell;
    return true;
  }
  const breed = draft.breedText === '' ? breedNamed(cell) : null;
  if (!breed) return false;
  draft.breedText = breed.name;
  return true;
}

function byColumns(
  cells: readonly string[],
  columns: readonly (keyof PlannedPatient | 'practice')[],
  now: Date,
): { draft: Draft; practice: string } {
  const draft: Draft = { ...EMPTY_PLANNED };
  let practice = '';
  const left: string[] = [];
  columns.forEach((column, i) => {
    const cell = cells[i] ?? '';
    if (cell === '') return;
    if (column === 'practice') practice = cell;
    else if (column === 'species') {
      const found = SPECIES_WORDS[plainWord(cell)];
      if (found) draft.species = found;
      else left.push(cell);
    } else if (column === 'sex') {
      if (!setSex(draft, cell)) left.push(cell);
    } else if (column === 'weight') draft.weight = /\d$/.test(cell) ? `${cell} kg` : cell;
    else if (column === 'chip') draft.chip = cell.replace(/[\s-]/g, '');
    else if (column !== 'neutered' && column !== 'plan') draft[column] = cell;
  });
  // A column headed 'weight kg' says its unit; what is in no column of ours is kept as a note.
  for (const cell of cells.slice(columns.length))
    if (cell !== '' && !takeCell(draft, cell, now)) left.push(cell);
  draft.note = [draft.note, ...left].filter((t) => t !== '').join(', ');
  return { draft, practice };
}

/** Several cells without headings: the first is the name, the others say what they are, the rest is the question. */
function byCells(cells: readonly string[], now: Date): Draft {
  const draft: Draft = { ...EMPTY_PLANNED };
  const [first = '', ...rest] = cells.filter((c) => c !== '');
  draft.name = first;
  const left = rest.filter((cell) => {
    if (takeCell(draft, cell, now)) return false;
    // 'DSH cat', 'male Whippet 9 y': several things in one cell.
    const inner = takeFromText(draft, cell, now);
    if (inner === '') return false;
    return inner === cell;
  });
  draft.question = [draft.question, ...left].filter((t) => t !== '').join(', ');
  return draft;
}

/** Takes known things out of running text and gives what is left. */
function takeFromText(draft: Draft, text: string, now: Date): string {
  let rest = text;
  const take = (pattern: RegExp, use: (found: string) => boolean): void => {
    const found = pattern.exec(rest)?.[0];
    if (found !== undefined && use(found.trim())) rest = tidy(rest.replace(found, ' '));
  };
  take(CHIP, (t) => draft.chip === '' && takeCell(draft, t, now));
  take(PHONE, (t) => draft.keeperPhone === '' && takeCell(draft, t, now));
  take(WEIGHT_IN_TEXT, (t) => draft.weight === '' && takeCell(draft, t, now));
  take(AGE_IN_TEXT, (t) => {
    if (draft.birth !== '') return false;
    draft.birth = tidy(t.replace(/\s*old$/i, ''));
    return true;
  });
  take(SEX_IN_TEXT, (t) => draft.sex === null && setSex(draft, t));
  const breed = breeds
    .map((b) => b.name)
    .sort((a, b) => b.length - a.length)
    .find((name) => new RegExp(`\\b${name.replace(/[.*+?^${}()|[\]\\]/g, '\\$&')}\\b`, 'i').test(rest));
  if (breed && draft.breedText === '')
    take(new RegExp(`\\b${breed.replace(/[.*+?^${}()|[\]\\]/g, '\\$&')}\\b`, 'i'), (t) =>
      takeCell(draft, t, now),
    );
  take(new RegExp(`\\b(?:${Object.keys(SPECIES_WORDS).join('|')})\\b`, 'i'), (t) => takeCell(draft, t, now));
  return tidy(rest.replace(/^[\s,;-]+|[\s,;-]+$/g, ''));
}

/** One run of words: the name is what stands before the first thing that is known; with nothing known, the first word. */
function byWords(line: string, now: Date): Draft {
  const draft: Draft = { ...EMPTY_PLANNED };
  const rest = takeFromText(draft, line, now);
  const known = [draft.breedText, draft.birth, draft.weight, draft.chip, draft.keeperPhone].filter(
    (t) => t !== '',
  );
  const words = line.split(' ');
  const cut = words.findIndex(
    (word, i) =>
      i > 0 &&
      (SPECIES_WORDS[plainWord(word)] !== undefined ||
        SEX_IN_TEXT.test(word) ||
        known.some((k) => k.toLowerCase().startsWith(plainWord(word)) && plainWord(word) !== '')),
  );
  const name = words.slice(0, cut > 0 ? Math.min(cut, 3) : 1).join(' ');
  draft.name = name;
  draft.question = rest.startsWith(name) ? tidy(rest.slice(name.length).replace(/^[\s,:-]+/, '')) : rest;
  return draft;
}

/** Says a line nothing but words: no cells, and nothing that is known of a patient. */
function isBare(line: string, now: Date): boolean {
  if (cellsOf(line).length > 1 || /\d/.test(line)) return false;
  const draft: Draft = { ...EMPTY_PLANNED };
  takeFromText(draft, line, now);
  return JSON.stringify(draft) === JSON.stringify(EMPTY_PLANNED);
}

/** The mark of a list does not belong to its line. */
const lineOf = (raw: string): string => raw.replace(/^\s*(?:\d{1,2}[.)]|[-*•])\s+/, '').trim();

/**
 * Reads a day's list as it comes from a mail, a table or a notebook: one patient a line, a practice's name on a line of
 * its own above its patients or in a column. What is not sure stays empty, and no word of a line is lost: what is
 * nothing else becomes the question.
 */
export function readList(
  text: string,
  practices: readonly PracticeName[],
  now: Date,
  defaultPracticeId: string | null = null,
): ListLine[] {
  let practiceId = defaultPracticeId;
  let columns: (keyof PlannedPatient | 'practice')[] | null = null;
  const lines: ListLine[] = [];
  const raws = text.split(/\r?\n/);
  for (const [n, raw] of raws.entries()) {
    const line = lineOf(raw);
    if (line === '') continue;
    const heading = practiceIn(line, practices);
    if (heading) {
      practiceId = heading;
      continue;
    }
    const cells = cellsOf(line);
    const headings = headingsOf(cells);
    if (headings) {
      columns = headings;
      continue;
    }
    // Bare words over a new block may name a practice that nobody here knows: what follows is not put under the one before.
    const [above = '', below = ''] = [raws[n - 1] ?? '', raws[n + 1] ?? ''].map(lineOf);
    if (columns === null && above === '' && isBare(line, now) && below !== '' && !isBare(below, now))
      practiceId = defaultPracticeId;
    const read = columns
      ? byColumns(cells, columns, now)
      : {
          draft: cells.filter((c) => c !== '').length > 1 ? byCells(cells, now) : byWords(tidy(line), now),
          practice: '',
        };
    const breed = read.draft.species === null ? breedNamed(read.draft.breedText) : null;
    if (breed) read.draft.species = breed.species;
    lines.push({
      raw: tidy(raw),
      planned: read.draft,
      practiceId: read.practice === '' ? practiceId : practiceIn(read.practice, practices),
      speciesFromBreed: breed !== null,
    });
  }
  return lines;
}
