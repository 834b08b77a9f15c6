/** A number as a person types it, with whatever stood behind it. `sign` is kept so that '-3' can be refused by name. */
export interface TypedNumber {
  /** Digits with a decimal point, without sign: '3.82'. */
  digits: string;
  negative: boolean;
  /** Unit text in lower case without spaces, '' for a bare number. */
  unitText: string;
}

/** One decimal mark, point or comma; no thousands separators, because '1,234' cannot be told from 1.234. */
const PATTERN = /^([+\-−]?)(\d{1,9}(?:[.,]\d{1,9})?|[.,]\d{1,9})([^\d.,+\-−].*)?$/u;

/** Reads '3,82 cm', '38.2mm', ' .5 '. Anything else gives null. */
export function readTypedNumber(text: string): TypedNumber | null {
  const match = PATTERN.exec(text.normalize('NFKC').trim());
  if (!match) return null;
  const digits = (match[2] ?? '').replace(',', '.');
  return {
    digits: digits.startsWith('.') ? `0${digits}` : digits,
    negative: match[1] === '-' || match[1] === '−',
    unitText: (match[3] ?? '').toLowerCase().replace(/\s+/g, ''),
  };
}

/** digits × 10^power without the rounding of a multiplication: `shifted('3.82', 1)` is 38.2. */
export function shifted(digits: string, power: number): number {
  return Number(`${digits}e${power}`);
}
