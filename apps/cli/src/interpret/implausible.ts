import type { InterpretationInput } from '@chordae/contract';
import { observationCodes } from '@chordae/contract';
import { breeds, possibleRange, unitOf } from '@chordae/interpretation';
import { placeOf, shown } from './say-issue';

/** A hundred years: no animal treated here is older (common practice), and a birth year typed as an age is. */
const AGE_MONTHS_MAX = 1200;
/** Lightest and heaviest weight taken as one, kg, as in the engine. */
const WEIGHT_KG = { min: 0.05, max: 1500 };

function ofPatient({ species, breedCode, ageMonths, weight }: InterpretationInput['patient']): string[] {
  const said: string[] = [];
  if (breedCode !== null && !breeds.some((b) => b.species === species && b.code === breedCode))
    said.push(
      `patient.breedCode: no breed of a ${species} has the code ${shown(breedCode)}; write null and the breed's name in patient.breedText.`,
    );
  if (ageMonths !== null && ageMonths > AGE_MONTHS_MAX)
    said.push(`patient.ageMonths of ${ageMonths} is more than a hundred years.`);
  if (weight !== null && !(weight.kg >= WEIGHT_KG.min && weight.kg <= WEIGHT_KG.max))
    said.push(
      `patient.weight.kg of ${weight.kg} cannot be a weight (possible: ${WEIGHT_KG.min} to ${WEIGHT_KG.max} kg); write null where it is not known.`,
    );
  return said;
}

function ofMeasurement(m: InterpretationInput['measurements'][number], place: string): string[] {
  const unit = unitOf(m.code);
  if (m.unit !== unit) return [`${place}.unit: ${m.code} is measured in ${unit}, not in ${m.unit}.`];
  const said: string[] = [];
  const { min, max } = possibleRange(m.code);
  if (!(m.value >= min && m.value <= max))
    said.push(
      `${place}.value: ${m.code} of ${m.value} ${unit} cannot be (possible: ${min} to ${max} ${unit}).`,
    );
  if (m.beat !== null && (m.beat < 1 || m.beat > 100_000))
    said.push(`${place}.beat of ${m.beat} is no number of a beat; beats count from 1.`);
  return said;
}

function ofObservation(
  { code, value }: InterpretationInput['observations'][number],
  place: string,
): string[] {
  const values: readonly string[] = observationCodes[code].values;
  return values.includes(value)
    ? []
    : [`${place}.value: ${code} is answered by ${values.join(', ')}; the file says ${shown(value)}.`];
}

/** Ids that stand twice: evidence could not be told apart. */
function twice(list: readonly { id: string }[], name: string): string[] {
  const first = new Map<string, number>();
  return list.flatMap(({ id }, i) => {
    const before = first.get(id);
    if (before === undefined) first.set(id, i);
    return before === undefined ? [] : [`${name}.${i}.id: ${shown(id)} stands at ${name}.${before} as well.`];
  });
}

/** Values of the right kind that cannot be, each in one sentence that names its field. */
export function implausible(input: InterpretationInput): string[] {
  return [
    ...ofPatient(input.patient),
    ...input.measurements.flatMap((m, i) => ofMeasurement(m, `measurements.${i}`)),
    ...twice(input.measurements, 'measurements'),
    ...input.observations.flatMap((o, i) => ofObservation(o, `observations.${i}`)),
    ...twice(input.observations, 'observations'),
  ];
}

/** Fields of the file that nothing reads: a weight in 'weightLb' must not be passed over in silence. */
export function unread(json: unknown, read: unknown, path: readonly PropertyKey[] = []): string[] {
  if (typeof json !== 'object' || json === null || typeof read !== 'object' || read === null) return [];
  const known = read as Record<string, unknown>;
  return Object.entries(json).flatMap(([key, value]) =>
    key in known
      ? unread(value, known[key], [...path, key])
      : [`${placeOf([...path, key])} is no field that is read here; take it out, or correct its name.`],
  );
}
