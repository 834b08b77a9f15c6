/**
 * JSON in one spelling only: keys sorted by UTF-16 code unit, no white space, strings in NFC with `\n` line ends
 * (RFC 8785 for the values that occur here: strings, finite numbers, booleans, null, arrays, objects).
 * `canonicalText({b: 1, a: 'x\r\n'})` is `{"a":"x\n","b":1}`. Throws on NaN and infinities: a programmer's mistake.
 */
export function canonicalText(value: unknown): string {
  if (value === null || typeof value === 'boolean') return String(value);
  if (typeof value === 'number') {
    if (!Number.isFinite(value)) throw new Error(`canonical text holds finite numbers only, not ${value}`);
    return JSON.stringify(value);
  }
  if (typeof value === 'string') return JSON.stringify(value.normalize('NFC').replace(/\r\n?/g, '\n'));
  if (Array.isArray(value)) return `[${value.map(canonicalText).join(',')}]`;
  if (typeof value === 'object') {
    const entries = Object.entries(value).filter(([, v]) => v !== undefined);
    entries.sort(([a], [b]) => (a < b ? -1 : a > b ? 1 : 0));
    return `{${entries.map(([k, v]) => `${JSON.stringify(k)}:${canonicalText(v)}`).join(',')}}`;
  }
  throw new Error(`canonical text cannot hold a ${typeof value}`);
}
