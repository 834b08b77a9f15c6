import type { MachineSays, PatientView, SendingPreview } from '@chordae/contract';

type Row = SendingPreview['identity'][number];

/** Words of a name, without accents, case and the separators that machines put between parts. */
function wordsOf(text: string): string[] {
  return text
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .split(/[^\p{L}\p{N}\p{So}]+/u)
    .filter((w) => w.length > 0);
}

/** The file's name may hold the keeper's too ('Example^Bella'): it agrees when every word of the patient's name is in it. */
function nameAgrees(inFile: string, name: string): boolean {
  const file = new Set(wordsOf(inFile));
  const wanted = wordsOf(name);
  return wanted.length > 0 && wanted.every((w) => file.has(w));
}

const speciesWords: Record<string, readonly string[]> = {
  dog: ['dog', 'canine', 'canis', 'canid'],
  cat: ['cat', 'feline', 'felis', 'felid'],
  horse: ['horse', 'equine', 'equus', 'equid'],
  ferret: ['ferret', 'mustela'],
  rabbit: ['rabbit', 'oryctolagus', 'lapine'],
};

function speciesOf(text: string): string | null {
  const found = wordsOf(text);
  for (const [species, words] of Object.entries(speciesWords))
    if (found.some((w) => words.includes(w))) return species;
  return null;
}

/** Weights further apart than this share of the referral's are another animal or another unit (common practice). */
const WEIGHT_TOLERANCE = 0.2;

/** Words and the usual letters (entire, neutered, castrated, spayed; common practice). */
const sexWords: Record<string, readonly string[]> = {
  male: ['m', 'me', 'mn', 'mc', 'male', 'stallion', 'colt', 'gelding'],
  female: ['f', 'fe', 'fn', 'fs', 'female', 'mare', 'filly'],
};

/** By whole words: 'mare' is no male. What is not known is not compared. */
function sexOf(text: string): string | null {
  const found = wordsOf(text);
  for (const [sex, words] of Object.entries(sexWords)) if (found.some((w) => words.includes(w))) return sex;
  return null;
}

/** Compares what one file says with the referral; only what both sides state is compared. */
export function compareIdentity(
  clip: { clipId: string; fileName: string; machine: MachineSays },
  patient: Pick<PatientView, 'name' | 'species' | 'sex' | 'weight'>,
  scannedOn: string,
): Row[] {
  const rows: Row[] = [];
  const add = (field: Row['field'], inFile: string, inReferral: string, agrees: boolean) =>
    rows.push({
      clipId: clip.clipId,
      fileName: clip.fileName,
      field,
      inFile,
      inReferral,
      verdict: agrees ? 'agrees' : 'differs',
    });
  const m = clip.machine;
  if (m.patientName && wordsOf(m.patientName).length > 0)
    add('name', m.patientName, patient.name, nameAgrees(m.patientName, patient.name));
  const species = m.speciesText ? speciesOf(m.speciesText) : null;
  if (species && patient.species !== 'other')
    add('species', m.speciesText ?? '', patient.species, species === patient.species);
  const sex = sexOf(m.sexText ?? '');
  if (sex && patient.sex !== 'unknown') add('sex', m.sexText ?? '', patient.sex, sex === patient.sex);
  const kg = patient.weight?.weightKg;
  if (m.weightKg && kg)
    add('weight', `${m.weightKg} kg`, `${kg} kg`, Math.abs(m.weightKg - kg) <= WEIGHT_TOLERANCE * kg);
  if (m.scannedOn) add('scan-date', m.scannedOn, scannedOn, m.scannedOn === scannedOn);
  return rows;
}
