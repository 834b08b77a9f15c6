import type { MeasurementCode, MeasurementRecord, Species } from '@chordae/contract';
import { measurementCv, smallestChange } from '@chordae/interpretation';

type Side = MeasurementRecord['side'];

/** One quantity with what each side measured; the reader's stands, the others stay in sight. */
export interface SideRow {
  readonly code: MeasurementCode;
  readonly unit: string;
  /** Live values of each side, oldest first. */
  readonly of: Readonly<Record<Side, readonly MeasurementRecord[]>>;
  readonly mean: Readonly<Record<Side, number | null>>;
  /** Sides whose means are further apart than measuring explains; `null` where no repeatability is known. */
  readonly apart: readonly (readonly [Side, Side])[] | null;
}

const SIDES: readonly Side[] = ['sender', 'machine', 'reader'];
const meanOf = (all: readonly MeasurementRecord[]): number | null =>
  all.length === 0 ? null : all.reduce((sum, m) => sum + m.value, 0) / all.length;

/**
 * Measurements of a case by quantity, in the order in which they were first given. Two sides are apart beyond 2.77 × CV of
 * their mean (repeatability of the species, from shared/limits).
 */
export function sideBySide(all: readonly MeasurementRecord[], species: Species): SideRow[] {
  const live = all.filter((m) => m.supersededById === null && !m.withdrawn);
  const codes = [...new Set(live.map((m) => m.code))];
  return codes.map((code) => {
    const own = live.filter((m) => m.code === code);
    const of = {
      sender: own.filter((m) => m.side === 'sender'),
      machine: own.filter((m) => m.side === 'machine'),
      reader: own.filter((m) => m.side === 'reader'),
    };
    const mean = { sender: meanOf(of.sender), machine: meanOf(of.machine), reader: meanOf(of.reader) };
    return { code, unit: own[0]?.unit ?? '', of, mean, apart: apartOf(mean, measurementCv(species, code)) };
  });
}

function apartOf(mean: SideRow['mean'], cv: number | null): SideRow['apart'] {
  if (cv === null) return null;
  const pairs: (readonly [Side, Side])[] = [];
  for (const [i, a] of SIDES.entries())
    for (const b of SIDES.slice(i + 1)) {
      const [one, other] = [mean[a], mean[b]];
      if (one === null || other === null) continue;
      if (Math.abs(one - other) > smallestChange((one + other) / 2, cv)) pairs.push([a, b]);
    }
  return pairs;
}

const NAMES: Record<Side, string> = { sender: 'sender', machine: 'machine', reader: 'reader' };

/** 'Sender and reader are further apart than measuring explains.'; null where nothing is to be said. */
export function sayApart(row: SideRow): string | null {
  const sides = SIDES.filter((side) => row.mean[side] !== null);
  if (sides.length < 2) return null;
  if (row.apart === null) return 'How far two readers differ on this is not known.';
  const [first] = row.apart;
  if (!first) return null;
  const words = `${NAMES[first[0]]} and ${NAMES[first[1]]}`;
  return `${words.charAt(0).toUpperCase()}${words.slice(1)} are further apart than measuring explains.`;
}
