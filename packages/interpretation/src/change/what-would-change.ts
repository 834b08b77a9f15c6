import type { InterpretationInput, MeasurementCode, Turn } from '@chordae/contract';
import { exactPow } from '@chordae/units';
import { thresholds } from '../act-now/thresholds';
import { reading } from '../case-facts';
import type { Index } from '../indices';
import type { Judged } from '../interpret';
import { judge } from '../interpret';
import { limitEntries, mitralScore } from '../limits/limits-data';
import { unitOf } from '../quantity-table';
import { shapeSolve } from '../shape';
import { differences } from './differences';

/** Points that rules hold beside the limits: criteria of B2, of the task force, of feline risk markers. */
const RULE_EDGES: Readonly<Record<string, readonly number[]>> = {
  'la-ao': [
    1.6,
    thresholds.dogLaAoFailureFrom,
    thresholds.catLaAoFailureFrom,
    thresholds.catLaAoVeryLargeFrom,
  ],
  lviddn: [1.7],
  fs: [20, 25, 28, 30],
  ef: [40],
  'wall-max-d': [5, 6, 9],
  'tr-gradient': [thresholds.trGradientSevereAbove],
  'ao-gradient': [thresholds.aorticGradientAbove],
  'pa-gradient': [thresholds.pulmonicGradientAbove],
};

/** Points of measurements that rules read without an index. */
const MEASURED_EDGES: Partial<Record<MeasurementCode, readonly number[]>> = {
  'breathing-rate': [thresholds.breathingRateAbove],
  'heart-rate': [
    thresholds.dogRateAbove,
    thresholds.dogRateBelow,
    thresholds.catRateAbove,
    thresholds.catRateBelow,
    190,
  ],
  'mitral-e': [mitralScore.points['mitral-e'].from2, mitralScore.points['mitral-e'].above3],
};

const limitById = new Map(limitEntries.map((l) => [l.id, l]));

/** How finely an input is written: the change is rounded outwards to it, so that the vet can type it. */
const STEP: Readonly<Record<string, number>> = {
  mm: 0.1,
  cm: 0.1,
  'm/s': 0.01,
  'cm/s': 0.1,
  ml: 0.1,
  cm2: 0.01,
  ratio: 0.1,
  kg: 0.1,
};

function edgesOf(index: Index): number[] {
  const edges = [...(RULE_EDGES[index.code] ?? [])];
  for (const limit of index.limits) {
    if (limit.comparisonOnly) continue;
    const entry = limitById.get(limit.id);
    const grades = (entry?.grades ?? []).map((g) => g.from ?? g.above ?? g.upTo);
    for (const bound of [limit.lower, limit.upper, entry?.gradeFrom, ...grades]) {
      if (bound !== null && bound !== undefined) edges.push(bound);
    }
  }
  const points = mitralScore.points as Record<string, { from2: number; above3: number; above4?: number }>;
  const score = points[index.code];
  if (score) edges.push(score.from2, score.above3, ...(score.above4 === undefined ? [] : [score.above4]));
  return edges;
}

/** Rounded away from where it stands, so that the bound is really crossed. */
function outwards(from: number, to: number, unit: string): number {
  const step = STEP[unit] ?? 1;
  const steps = to > from ? Math.floor(to / step + 1e-9) + 1 : Math.ceil(to / step - 1e-9) - 1;
  const touched = Math.round(to / step);
  // The bound itself may be enough (a limit reached counts from there): it is tried first.
  return Math.abs(to / step - touched) < 1e-9 ? touched * step : steps * step;
}

const rounded = (value: number): number => Math.round(value * 1e6) / 1e6;

function candidates(
  indices: readonly Index[],
  code: MeasurementCode,
  from: number,
): { to: number; next: number }[] {
  const unit = unitOf(code);
  const found = new Set<number>();
  for (const index of indices) {
    const at = index.readings.findIndex((r) => r.code === code);
    if (at < 0) continue;
    const values = index.readings.map((r) => r.value);
    for (const edge of edgesOf(index)) {
      const needed = shapeSolve(index.shape, values, at, edge);
      if (needed !== null && Math.abs(needed - from) > 1e-9) found.add(rounded(outwards(from, needed, unit)));
    }
  }
  for (const edge of MEASURED_EDGES[code] ?? []) found.add(rounded(outwards(from, edge, unit)));
  const step = STEP[unit] ?? 1;
  return [...found]
    .filter((to) => to > 0 && Math.abs(to - from) > 1e-9)
    .sort((a, b) => Math.abs(a - from) - Math.abs(b - from))
    .map((to) => ({ to, next: rounded(to > from ? to + step : to - step) }));
}

function withMeasurement(
  input: InterpretationInput,
  ids: ReadonlySet<string>,
  factor: number,
): InterpretationInput {
  return {
    ...input,
    measurements: input.measurements.map((m) => (ids.has(m.id) ? { ...m, value: m.value * factor } : m)),
  };
}

/** Most candidates tried per input: the nearest ones; a farther one is no smallest change. */
const TRIES = 6;

function turnOf(
  before: Judged,
  at: Omit<Turn, 'to' | 'changes'>,
  places: readonly { to: number; next: number }[],
  changed: (to: number) => InterpretationInput,
): Turn | null {
  for (const place of places.slice(0, TRIES)) {
    for (const to of [place.to, place.next]) {
      if (to <= 0) continue;
      const changes = differences(before, judge(changed(to)));
      if (changes.length > 0) return { ...at, to, changes };
    }
  }
  return null;
}

/** Body weights at which an index meets a bound: value · kg^power stays the same, bounds may move with the weight too. */
function weightPlaces(indices: readonly Index[], kg: number): { to: number; next: number }[] {
  const found = new Set<number>();
  for (const index of indices) {
    const power =
      /kg\^([\d.]+)$/.exec(index.unit)?.[1] ?? (index.unit.endsWith('/m2') ? String(2 / 3) : null);
    if (power !== null) {
      for (const edge of edgesOf(index)) {
        if (edge > 0 && index.value > 0)
          found.add(rounded(outwards(kg, kg * exactPow(index.value / edge, 1 / Number(power)), 'kg')));
      }
    }
    const form = index.grading?.entry.form;
    if (form?.kind === 'power') {
      for (const bound of [index.grading?.applied.lower, index.grading?.applied.upper]) {
        if (bound)
          found.add(rounded(outwards(kg, kg * exactPow(index.value / bound, 1 / form.exponent), 'kg')));
      }
    }
  }
  return [...found]
    .filter((to) => to >= 0.1 && to <= 1500 && Math.abs(to - kg) > 1e-9)
    .sort((a, b) => Math.abs(a - kg) - Math.abs(b - kg))
    .map((to) => ({ to, next: rounded(to > kg ? to + 0.1 : to - 0.1) }));
}

function measurementTurns(input: InterpretationInput, before: Judged): Turn[] {
  const { facts, indices } = before;
  const turns: Turn[] = [];
  for (const code of facts.readings.keys()) {
    const one = reading(facts, code);
    if (!one || one.value <= 0) continue;
    const ids = new Set(one.ids);
    const turn = turnOf(
      before,
      { input: code, view: one.view, from: one.value, unit: unitOf(code) },
      candidates(indices, code, one.value),
      (to) => withMeasurement(input, ids, to / one.value),
    );
    if (turn) turns.push(turn);
  }
  return turns;
}

/**
 * On demand: for each measurement and the body weight the smallest change that would give another position, grade, stage or
 * urgency, nearest first in relation to the value. Inputs that change nothing within their nearest bounds are left out.
 */
export function whatWouldChange(input: InterpretationInput): Turn[] {
  const before = judge(input);
  const { facts, indices } = before;
  const turns = measurementTurns(input, before);
  const { weight } = input.patient;
  if (facts.kg !== null && weight) {
    const turn = turnOf(
      before,
      { input: 'weight', view: null, from: facts.kg, unit: 'kg' },
      weightPlaces(indices, facts.kg),
      (to) => ({ ...input, patient: { ...input.patient, weight: { ...weight, kg: to } } }),
    );
    if (turn) turns.push(turn);
  }
  const share = (t: Turn): number => Math.abs(t.to - t.from) / t.from;
  return turns.sort((a, b) => share(a) - share(b) || (a.input < b.input ? -1 : 1));
}
