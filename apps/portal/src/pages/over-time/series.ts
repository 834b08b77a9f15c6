import type { EarlierScan, Interpretation, InterpretationInput, StateAtScan } from '@chordae/contract';
import type { TimedValue } from '@chordae/figure';
import { interpret } from '@chordae/interpretation';
import { observationNames, sayStateValue, stateNames } from '@chordae/words';

/** One scan with all that is computed from it; oldest first in a list. */
export interface TimedScan {
  readonly day: string;
  readonly input: InterpretationInput;
  readonly result: Interpretation;
}

/** The earlier scans and the current one, if there is one yet. */
export function timedScans(
  earlier: readonly EarlierScan[],
  now: { readonly day: string; readonly input: InterpretationInput } | null,
): TimedScan[] {
  return [
    ...earlier.map((scan) => ({ day: scan.scannedOn, input: scan.input, result: interpret(scan.input) })),
    ...(now ? [{ day: now.day, input: now.input, result: interpret(now.input) }] : []),
  ].sort((a, b) => a.day.localeCompare(b.day));
}

/** Codes of the indices that stand in at least two scans, in the order of the newest. */
export function indicesOverTime(scans: readonly TimedScan[]): string[] {
  const count = new Map<string, number>();
  for (const scan of scans)
    for (const index of scan.result.indices) count.set(index.code, (count.get(index.code) ?? 0) + 1);
  const order = [...scans].reverse().flatMap((s) => s.result.indices.map((i) => i.code));
  return [...new Set(order)].filter((code) => (count.get(code) ?? 0) >= 2);
}

/** An index of each scan that has it, with the bound that was drawn on that day. */
export function valuesOf(scans: readonly TimedScan[], code: string): TimedValue[] {
  return scans.flatMap((scan) => {
    const index = scan.result.indices.find((i) => i.code === code);
    if (!index) return [];
    const limit = index.limits.find((l) => l.lower !== null || l.upper !== null);
    return [
      {
        day: scan.day,
        value: index.value,
        interval: index.interval ? ([index.interval[0], index.interval[1]] as const) : null,
        lower: limit?.lower ?? null,
        upper: limit?.upper ?? null,
        graded: index.position !== 'not-graded',
      },
    ];
  });
}

/** Body weights of the scans that have one. */
export function weightsOf(scans: readonly TimedScan[]): TimedValue[] {
  return scans.flatMap((scan) =>
    scan.input.patient.weight
      ? [
          {
            day: scan.day,
            value: scan.input.patient.weight.kg,
            interval: null,
            lower: null,
            upper: null,
            graded: !scan.input.patient.weight.guessed,
          },
        ]
      : [],
  );
}

export interface TimedEvent {
  readonly day: string;
  /** What is told of the animal on that day, in words: drugs and signs. */
  readonly says: readonly string[];
}

const TOLD: readonly (keyof StateAtScan)[] = [
  'sedative',
  'diuretic24h',
  'fluids24h',
  'rhythm',
  'heartDrugs',
  'ascites',
];
const NOTHING: ReadonlySet<unknown> = new Set([null, undefined, '', 'none', 'no', 'unknown', 'sinus']);

/** Drugs and signs that were told on the days of scans. What was not asked is no event. */
export function eventsOf(scans: readonly TimedScan[]): TimedEvent[] {
  return scans.flatMap((scan) => {
    const state = TOLD.flatMap((field) => {
      const value = scan.input.state[field];
      return NOTHING.has(value) ? [] : [`${stateNames[field]}: ${sayStateValue(field, value)}`];
    });
    const signs = scan.input.observations.flatMap((o) =>
      o.value === 'yes' && o.code in observationNames ? [observationNames[o.code]] : [],
    );
    const says = [...new Set([...state, ...signs])];
    return says.length > 0 ? [{ day: scan.day, says }] : [];
  });
}
