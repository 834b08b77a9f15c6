import type { MeasurementCode } from '@chordae/contract';
import { measurementNames } from './names';

/** Why a pasted line was not taken. */
export type PastedWhy =
  | 'no-name'
  | 'no-value'
  | 'not-read'
  | 'no-cell'
  | 'places-unsure'
  | 'several-columns'
  | 'choice-open';

export interface PastedRefusal {
  readonly text: string;
  readonly why: PastedWhy;
  /** The cell it would have gone to, where that is known. */
  readonly code?: MeasurementCode;
}

/** What was pasted into the measurement table: values as typed with their cells, and what could not be taken. */
export interface PastedBlock {
  readonly taken: readonly { readonly code: MeasurementCode; readonly beat: number; readonly text: string }[];
  readonly refused: readonly PastedRefusal[];
  /** Quantities with more beats than were pasted: the others stay. */
  readonly otherBeats?: readonly MeasurementCode[];
}

const because: Record<PastedWhy, string> = {
  'no-name': 'no known name',
  'no-value': 'no value behind the name',
  'not-read': 'not one possible value with a unit that fits',
  'no-cell': 'no cell left for it',
  'places-unsure': 'neither a number nor a known name, so the places of the values are not certain',
  'several-columns': 'several columns without names: paste one column, or begin each line with a name',
  'choice-open': 'a choice between two values is open there',
};

/** `sayPasted({ taken: [{ code: 'lvidd', beat: 1, text: '38.2' }], refused: [] })` is 'Filled in: LVIDd 38.2.' */
export function sayPasted({ taken, refused, otherBeats = [] }: PastedBlock): string {
  const filled = taken.map(
    ({ code, beat, text }) => `${measurementNames[code].short}${beat > 1 ? `, beat ${beat},` : ''} ${text}`,
  );
  const left = refused.map(({ text, why, code }) => {
    const at = code ? ` for ${measurementNames[code].short}` : '';
    return `'${text.length > 40 ? `${text.slice(0, 40)}…` : text}'${at} (${because[why]})`;
  });
  const stay =
    otherBeats.length > 0
      ? ` Other beats stay and are averaged with it: ${otherBeats.map((code) => measurementNames[code].short).join(', ')}.`
      : '';
  const first = filled.length > 0 ? `Filled in: ${filled.join('; ')}` : 'Nothing was filled in';
  return `${first}${left.length > 0 ? `. Not understood: ${left.join('; ')}` : ''}.${stay}`;
}

/** After undoing: which cells were put back, and which were typed over since and stay. */
export function sayPutBack(back: readonly MeasurementCode[], left: readonly MeasurementCode[]): string {
  const named = (codes: readonly MeasurementCode[]) =>
    [...new Set(codes)].map((code) => measurementNames[code].short).join(', ');
  const first = back.length > 0 ? `Put back as before: ${named(back)}.` : 'Nothing was put back.';
  return left.length > 0 ? `${first} Typed over since, so left: ${named(left)}.` : first;
}
