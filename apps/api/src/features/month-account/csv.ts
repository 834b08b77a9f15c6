/**
 * Comma-separated values by RFC 4180: lines end in CR LF, a field with a comma, a quote or a line end stands in quotes, and
 * a quote in it is doubled.
 */
export function csvText(rows: readonly (readonly (string | number)[])[]): string {
  return rows.map((row) => `${row.map(field).join(',')}\r\n`).join('');
}

/** Text that a spreadsheet would run as a formula is led by an apostrophe. Numbers of ours are written as they are. */
function field(value: string | number): string {
  const text = typeof value === 'number' ? String(value) : harmless(value);
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}

/** The signs by which spreadsheets know a formula, also after blanks and in their full-width forms (OWASP, CSV injection). */
function harmless(text: string): string {
  return /^[\s\u00a0\u3000]*[=+\-@\uff1d\uff0b\uff0d\uff20]|^[\t\r\n]/.test(text) ? `'${text}` : text;
}
