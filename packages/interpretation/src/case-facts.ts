import type {
  InterpretationInput,
  MeasurementCode,
  ObservationCode,
  Species,
  ViewId,
} from '@chordae/contract';
import { breeds } from './limits/breeds-data';
import type { Breed } from './limits/limit-types';
import type { PatientTables } from './patient-tables';
import { tablesOf } from './patient-tables';
import type { Reading } from './readings';
import { groupReadings } from './readings';
import type { IndexKind, StateCautions } from './state-at-scan';

/** An answered observation: its value, where it came from, and whether a machine alone gave it. */
export interface Answer {
  id: string;
  value: string;
  machineOnly: boolean;
}

/** The case as the rules read it: beats averaged, the weight only if it can be one, the breed's groups looked up. */
export interface CaseFacts {
  input: InterpretationInput;
  species: Species;
  /** Weight in kg, or null: missing, or not a weight an animal can have. */
  kg: number | null;
  breed: Breed | null;
  groups: ReadonlySet<string>;
  /** Every usable reading by code: the preferred view and method first. */
  readings: ReadonlyMap<MeasurementCode, Reading[]>;
  answers: ReadonlyMap<ObservationCode, Answer[]>;
  /** What rests on species, breed, sex and weight alone. */
  tables: PatientTables;
  /** Views judged doubtful or not usable, and never adequate. */
  doubtfulViews: ReadonlySet<ViewId>;
  /** Bars and cautions of the state at scan by kind of index, made once. */
  stateByKind: Map<IndexKind, StateCautions>;
  /** Measurements that contradict something, so that nothing is concluded from them: id → finding code. */
  setAside: Map<string, string>;
}

/** Lightest and heaviest weight taken as a weight at all, kg (common practice; the heaviest draught horse stays below). */
const WEIGHT_KG = { min: 0.05, max: 1500 };

const breedByCode: ReadonlyMap<string, Breed> = new Map(breeds.map((b) => [`${b.species}:${b.code}`, b]));

/** Weight in kg if it can be a weight, else null. */
export function usableWeightKg(input: InterpretationInput): number | null {
  const kg = input.patient.weight?.kg;
  if (kg === undefined || !Number.isFinite(kg)) return null;
  return kg >= WEIGHT_KG.min && kg <= WEIGHT_KG.max ? kg : null;
}

function doubtfulViewsOf(input: InterpretationInput): Set<ViewId> {
  const doubtful = new Set<ViewId>();
  for (const { view, judged } of input.views)
    if (judged === 'doubtful' || judged === 'not-possible') doubtful.add(view);
  if (doubtful.size > 0)
    for (const { view, judged } of input.views) if (judged === 'adequate') doubtful.delete(view);
  return doubtful;
}

/** Prepares a case for the rules. Order of the measurements does not matter. */
export function factsOf(input: InterpretationInput): CaseFacts {
  const { species, breedCode } = input.patient;
  const breed = breedCode === null ? null : (breedByCode.get(`${species}:${breedCode}`) ?? null);
  const kg = usableWeightKg(input);
  const answers = new Map<ObservationCode, Answer[]>();
  const sorted = [...input.observations].sort((a, b) => (a.id < b.id ? -1 : a.id > b.id ? 1 : 0));
  for (const { id, code, value, side } of sorted) {
    const list = answers.get(code) ?? [];
    list.push({ id, value, machineOnly: side === 'machine' });
    answers.set(code, list);
  }
  return {
    input,
    species,
    kg,
    breed,
    groups: new Set(breed?.groups),
    readings: groupReadings(input.measurements),
    answers,
    tables: tablesOf(species, breed?.code ?? null, input.patient.sex, kg),
    doubtfulViews: doubtfulViewsOf(input),
    stateByKind: new Map(),
    setAside: new Map(),
  };
}

/** The preferred reading of a code, unless it was set aside. */
export function reading(facts: CaseFacts, code: MeasurementCode): Reading | null {
  const list = facts.readings.get(code);
  if (list === undefined) return null;
  for (let i = 0; i < list.length; i += 1) {
    const candidate = list[i] as Reading;
    if (isSound(facts, candidate)) return candidate;
  }
  return null;
}

/** true when none of a reading's beats was set aside. */
export function isSound(facts: CaseFacts, { ids }: Reading): boolean {
  return facts.setAside.size === 0 || ids.every((id) => !facts.setAside.has(id));
}

/**
 * Like `reading`, but for warnings: an outlier is questioned, and its warning stays up until a person has answered. Only
 * values that no animal can have are left out.
 */
export function readingForWarning(facts: CaseFacts, code: MeasurementCode): Reading | null {
  const impossible = (id: string): boolean => facts.setAside.get(id) === 'VALUE_IMPOSSIBLE';
  return (facts.readings.get(code) ?? []).find((r) => !r.ids.some(impossible)) ?? null;
}

/** A person's answer with one of the values, or null. Machine answers do not count. */
export function answered(facts: CaseFacts, code: ObservationCode, ...values: string[]): Answer | null {
  const list = facts.answers.get(code) ?? [];
  return list.find((a) => !a.machineOnly && values.includes(a.value)) ?? null;
}

/** true when a person answered and every answer is one of the values: for conclusions that rest on a 'no'. */
export function allAnswered(facts: CaseFacts, code: ObservationCode, ...values: string[]): boolean {
  const list = (facts.answers.get(code) ?? []).filter((a) => !a.machineOnly);
  return list.length > 0 && list.every((a) => values.includes(a.value));
}

/** Ids of a person's answers to a code, for evidence. */
export function answerIds(facts: CaseFacts, ...codes: ObservationCode[]): string[] {
  return codes.flatMap((code) => (facts.answers.get(code) ?? []).map((a) => a.id));
}

/** true when a view of the case was judged doubtful and never adequate. */
export function isDoubtfulView(facts: CaseFacts, view: ViewId | null): boolean {
  return view !== null && facts.doubtfulViews.has(view);
}

/** Younger than 12 months: adult limits do not hold (common practice). */
export function isJuvenile(facts: CaseFacts): boolean {
  const months = facts.input.patient.ageMonths;
  return months !== null && months < 12;
}

/** Breeds for which the general limits of the left ventricle do not hold (Esser 2020, 10.1111/jvim.15914). */
export function isOutlyingBreed(facts: CaseFacts): boolean {
  return facts.groups.has('sighthound') || facts.groups.has('newfoundland');
}
