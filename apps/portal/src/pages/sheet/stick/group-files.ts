import type { PatientView } from '@chordae/contract';
import { compareIdentity } from '@chordae/dicom';
import type { StickFile } from '../../../host/uploads/read-stick';

/** Files of one patient and one day by what their headers say. */
export interface FileGroup {
  readonly key: string;
  readonly patientName: string | null;
  readonly patientNumber: string | null;
  readonly scannedOn: string | null;
  readonly files: readonly StickFile[];
  /** What differs from the referral's patient, by field; empty where nothing does. */
  readonly differs: readonly string[];
  /** Something was compared and agreed. */
  readonly agrees: boolean;
}

/** Names as they are compared: case, accents and separators do not matter. */
const plain = (text: string | null): string =>
  (text ?? '')
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, ' ')
    .trim();

/**
 * Groups picked files by patient and day, those that agree with the referral's patient first, files that say nothing of a
 * patient last. Two spellings of one name with the same number are one patient.
 */
export function groupFiles(
  files: readonly StickFile[],
  patient: Pick<PatientView, 'name' | 'species' | 'sex' | 'weight'>,
  scannedOn: string,
): FileGroup[] {
  const groups = new Map<string, StickFile[]>();
  for (const file of files) {
    const m = file.header?.machine;
    const who = plain(m?.patientNumber ?? null) || plain(m?.patientName ?? null);
    const key = who === '' ? '' : `${who}|${m?.scannedOn ?? ''}`;
    groups.set(key, [...(groups.get(key) ?? []), file]);
  }
  const out = [...groups].map(([key, own]): FileGroup => {
    const machine = own[0]?.header?.machine ?? null;
    const rows = own.flatMap((f) =>
      f.header
        ? compareIdentity(
            { clipId: '', fileName: f.file.name, machine: f.header.machine },
            patient,
            scannedOn,
          )
        : [],
    );
    return {
      key,
      patientName: key === '' ? null : (machine?.patientName ?? null),
      patientNumber: key === '' ? null : (machine?.patientNumber ?? null),
      scannedOn: machine?.scannedOn ?? null,
      files: own,
      differs: [...new Set(rows.filter((r) => r.verdict === 'differs').map((r) => r.field))],
      agrees: rows.some((r) => r.verdict === 'agrees' && r.field === 'name'),
    };
  });
  const rank = (g: FileGroup): number => (g.key === '' ? 2 : g.agrees && !g.differs.includes('name') ? 0 : 1);
  return out.sort((a, b) => rank(a) - rank(b) || (b.scannedOn ?? '').localeCompare(a.scannedOn ?? ''));
}

/** Whether the files can go on without a question: one patient at most, and no name that differs. */
export function goesWithoutAsking(groups: readonly FileGroup[], left: number): boolean {
  const named = groups.filter((g) => g.key !== '');
  const patients = new Set(named.map((g) => g.key.split('|')[0]));
  return (
    left === 0 && patients.size <= 1 && named.length <= 1 && named.every((g) => !g.differs.includes('name'))
  );
}

/** A group is ticked to begin with unless its name says that it is somebody else, or the stick holds somebody who agrees. */
export function tickedAtFirst(group: FileGroup, all: readonly FileGroup[]): boolean {
  if (group.differs.includes('name')) return false;
  if (group.key === '') return true;
  const agreeing = all.filter((g) => g.agrees && !g.differs.includes('name'));
  if (agreeing.length === 0) return true;
  return (
    agreeing.includes(group) &&
    !(group.differs.includes('scan-date') && agreeing.some((g) => !g.differs.includes('scan-date')))
  );
}
