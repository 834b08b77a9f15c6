/**
 * Up, down and Enter move to the field above or below in the same place of its row, as in a table of numbers; rows without a field
 * that can be typed in are passed over. True where the focus moved.
 */
export function stepInTable(key: string, field: HTMLInputElement): boolean {
  const by = key === 'ArrowUp' ? -1 : key === 'ArrowDown' || key === 'Enter' ? 1 : 0;
  const row = field.closest('tr');
  const table = row?.closest('table');
  if (by === 0 || !row || !table) return false;
  const place = fieldsOf(row).indexOf(field);
  const rows = Array.from(table.rows);
  for (let at = rows.indexOf(row) + by; at >= 0 && at < rows.length; at += by) {
    const fields = fieldsOf(rows[at] as HTMLTableRowElement);
    const next = fields[Math.min(place, fields.length - 1)];
    if (!next) continue;
    next.focus();
    next.select();
    return true;
  }
  return false;
}

function fieldsOf(row: HTMLTableRowElement): HTMLInputElement[] {
  return Array.from(row.querySelectorAll<HTMLInputElement>('.cell input:not(:disabled)'));
}
