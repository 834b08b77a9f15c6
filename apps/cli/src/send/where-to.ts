import type { MachineSays, OpenScan } from '@chordae/contract';
import { compareIdentity } from '@chordae/dicom';

/** Where a file goes, or why it goes nowhere. */
export type WhereTo =
  | { readonly to: OpenScan }
  | { readonly why: 'no-name' | 'nobody-of-that-name' | 'several-of-that-name' | 'other-animal' };

/**
 * The one open case whose patient the header names: the name must agree and nothing else may differ. Nothing is guessed:
 * a file without a name, a name that two cases have, another species, sex, weight or day wait for a person.
 */
export function whereTo(machine: MachineSays | null, open: readonly OpenScan[]): WhereTo {
  if (!machine?.patientName || machine.patientName.replace(/[\s^]/g, '') === '') return { why: 'no-name' };
  const rows = open.map((scan) => ({
    scan,
    compared: compareIdentity(
      { clipId: '', fileName: '', machine },
      {
        name: scan.patientName,
        species: scan.species,
        sex: scan.sex,
        weight:
          scan.weightKg === null
            ? null
            : {
                id: '',
                weightKg: scan.weightKg,
                asTyped: '',
                guessed: false,
                weighedOn: scan.weighedOn ?? scan.scannedOn,
              },
      },
      scan.scannedOn,
    ),
  }));
  const named = rows.filter((r) => r.compared.some((c) => c.field === 'name' && c.verdict === 'agrees'));
  if (named.length === 0) return { why: 'nobody-of-that-name' };
  const fitting = named.filter((r) => r.compared.every((c) => c.verdict === 'agrees'));
  const [one, another] = fitting;
  if (!one) return { why: 'other-animal' };
  return another ? { why: 'several-of-that-name' } : { to: one.scan };
}

const WHY: Record<Exclude<WhereTo, { to: OpenScan }>['why'], string> = {
  'no-name': 'names no patient',
  'nobody-of-that-name': 'no open case has a patient of that name',
  'several-of-that-name': 'several open cases have a patient of that name',
  'other-animal': 'the name fits an open case, but species, sex, weight or day differ',
};

export function sayWhy(why: keyof typeof WHY): string {
  return WHY[why];
}
