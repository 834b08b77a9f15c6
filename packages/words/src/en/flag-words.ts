import type { WordData } from '@chordae/contract';
import { formatNumber } from './numbers';

/** One flag in words: the sentence, and what it rests on. `{call}` in a sentence becomes the telephone sentence. */
export type FlagWords = (data: WordData) => { sentence: string; reasons: string[] };

/** A number of a flag's data, or 'not given'. */
export function numberText(value: unknown, decimals: number): string {
  return typeof value === 'number' ? formatNumber(value, decimals) : 'not given';
}

/** Any value of a flag's data as text. */
export function valueText(value: WordData[string] | undefined): string {
  if (value === null || value === undefined) return 'not given';
  return Array.isArray(value) ? value.join(', ') : String(value);
}
