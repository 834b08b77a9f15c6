/** A string that needs no escape: printable ASCII without quote and backslash. */
const PLAIN = /^[ !#-[\]-~]*$/;

/** A string in quotes, as JSON writes it. */
export function quoted(value: string): string {
  return PLAIN.test(value) ? `"${value}"` : JSON.stringify(value);
}

/** Writes one value: keys sorted, no spaces, numbers as the language prints them (shortest form that reads back). */
export function canonicalText(value: unknown): string {
  if (value === null || value === undefined) return 'null';
  if (typeof value === 'number')
    return Number.isFinite(value) ? String(Object.is(value, -0) ? 0 : value) : 'null';
  if (typeof value === 'boolean') return value ? 'true' : 'false';
  if (typeof value === 'string') return quoted(value);
  if (Array.isArray(value)) return `[${value.map(canonicalText).join(',')}]`;
  if (typeof value === 'object') return objectText(value as Record<string, unknown>);
  return 'null';
}

function objectText(value: Record<string, unknown>): string {
  let text = '';
  for (const key of Object.keys(value).sort()) {
    const part = value[key];
    if (part === undefined) continue;
    text += `${text === '' ? '' : ','}${quoted(key)}:${canonicalText(part)}`;
  }
  return `{${text}}`;
}
