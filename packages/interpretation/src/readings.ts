import type { InterpretationInput, MeasurementCode, ViewId } from '@chordae/contract';
import { quantityCodes, unitOf, viewsFor } from './quantity-table';

type Measured = InterpretationInput['measurements'][number];

/** Measurements of one quantity on one view by one method, averaged over their beats. */
export interface Reading {
  code: MeasurementCode;
  /** Mean, canonical unit. */
  value: number;
  /** Single beats in order; one entry when only one was given. */
  beats: number[];
  ids: string[];
  view: ViewId | null;
  method: Measured['method'];
  /** true when every beat was computed from a picture: such a reading never fires an act-now rule. */
  computedOnly: boolean;
}

/** Beats in order: by number, unnumbered last, then by id, so that the order of arrival cannot matter. */
function byBeat(a: Measured, b: Measured): number {
  const beatA = a.beat ?? Number.MAX_SAFE_INTEGER;
  const beatB = b.beat ?? Number.MAX_SAFE_INTEGER;
  if (beatA !== beatB) return beatA - beatB;
  return a.id < b.id ? -1 : a.id > b.id ? 1 : 0;
}

function single(m: Measured): Reading {
  const { code, view, method } = m;
  // −0 becomes 0, as in a mean.
  const value = m.value + 0;
  return { code, value, beats: [m.value], ids: [m.id], view, method, computedOnly: m.source === 'computed' };
}

function averaged(list: Measured[]): Reading {
  const first = list[0] as Measured;
  if (list.length === 1) return single(first);
  const sorted = [...list].sort(byBeat);
  let sum = 0;
  for (const m of sorted) sum += m.value;
  return {
    code: first.code,
    value: sum / sorted.length,
    beats: sorted.map((m) => m.value),
    ids: sorted.map((m) => m.id),
    view: first.view,
    method: first.method,
    computedOnly: sorted.every((m) => m.source === 'computed'),
  };
}

/** Rank of a reading: its own views first in their order, then readings without a view, then other views; 2-D before M-mode. */
function rank(reading: Reading): number {
  const views = viewsFor(reading.code);
  const at = reading.view === null ? -1 : views.indexOf(reading.view);
  const viewRank = reading.view === null ? views.length : at >= 0 ? at : views.length + 1;
  const methodRank =
    reading.method === '2d' ? 0 : reading.method === 'm-mode' ? 1 : reading.method === null ? 2 : 3;
  return (reading.computedOnly ? 1000 : 0) + viewRank * 10 + methodRank;
}

/** One quantity on one view by one method, told apart from what a picture's computing gave. */
function sameGroup(a: Measured, b: Measured): boolean {
  return (
    a.view === b.view && a.method === b.method && (a.source === 'computed') === (b.source === 'computed')
  );
}

/** Own views and methods first, then by their names, so that the order of arrival cannot matter. */
function byRank(a: Reading, b: Reading): number {
  const ranks = rank(a) - rank(b);
  if (ranks !== 0) return ranks;
  return keyOf(a) < keyOf(b) ? -1 : 1;
}

const keyOf = ({ view, method }: Reading): string => `${view ?? ''}|${method ?? ''}`;

/**
 * Groups measurements by quantity, view and method and averages the beats of each group; quantities in the order of their
 * table. Values that are no number, and units that are not the quantity's own, are left out (the plausibility rules say so).
 */
export function groupReadings(measurements: readonly Measured[]): Map<MeasurementCode, Reading[]> {
  const byCode = new Map<MeasurementCode, Measured[][]>();
  for (const m of measurements) {
    if (!Number.isFinite(m.value) || m.unit !== unitOf(m.code)) continue;
    const groups = byCode.get(m.code);
    if (groups === undefined) {
      byCode.set(m.code, [[m]]);
      continue;
    }
    const own = groups.find((g) => sameGroup(g[0] as Measured, m));
    if (own) own.push(m);
    else groups.push([m]);
  }
  const readings = new Map<MeasurementCode, Reading[]>();
  for (const code of quantityCodes) {
    const groups = byCode.get(code);
    if (groups === undefined) continue;
    if (groups.length === 1) readings.set(code, [averaged(groups[0] as Measured[])]);
    else readings.set(code, groups.map(averaged).sort(byRank));
  }
  return readings;
}
