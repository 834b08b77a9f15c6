import type { PatientListRow } from '@chordae/contract';

export type PatientOrder = 'changed' | 'name' | 'scanned' | 'number';

export const orderNames: Record<PatientOrder, string> = {
  changed: 'changed last',
  scanned: 'scanned last',
  name: 'name',
  number: 'number',
};

const byName = new Intl.Collator('en', { sensitivity: 'base', numeric: true });

/** Rows in the order asked for; they come from the service with the ones changed last first. */
export function inOrder(rows: readonly PatientListRow[], order: PatientOrder): readonly PatientListRow[] {
  switch (order) {
    case 'changed':
      return rows;
    case 'name':
      return [...rows].sort((a, b) => byName.compare(a.name, b.name) || a.number - b.number);
    case 'number':
      return [...rows].sort((a, b) => a.number - b.number);
    case 'scanned':
      // Never scanned stands last.
      return [...rows].sort((a, b) => (b.lastScanOn ?? '').localeCompare(a.lastScanOn ?? ''));
  }
}
