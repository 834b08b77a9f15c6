import type { PatientView, Visit } from '@chordae/contract';
import { parseWeight } from '@chordae/interpretation';
import type { StickFile } from '../../host/uploads/read-stick';
import { type FileGroup, groupFiles } from '../sheet/stick/group-files';

/** Files of one patient and day on a stick, and the visit that they belong to by what they say. */
export interface AssignedGroup {
  readonly group: FileGroup;
  /** The one visit whose patient's name agrees; null: none or several, a person chooses. */
  readonly visitId: string | null;
  /** What differs from that visit's patient, by field. */
  readonly differs: readonly string[];
}

type Compared = Pick<PatientView, 'name' | 'species' | 'sex' | 'weight'>;

/** What a visit says of its patient, as far as a header can be compared with it. */
export function comparedOf(visit: Visit, day: string): Compared {
  const p = visit.planned;
  const weight = p.weight === '' ? null : parseWeight(p.weight, null);
  return {
    name: visit.patientName ?? p.name,
    species: p.species ?? 'other',
    sex: p.sex ?? 'unknown',
    weight: weight?.ok
      ? { id: visit.id, weightKg: weight.kg, asTyped: p.weight, guessed: false, weighedOn: day }
      : null,
  };
}

/** Files may be given to a visit whose scan is open. */
export function takesFiles(visit: Visit): boolean {
  return visit.case?.state === 'draft' && visit.referralId !== null;
}

/**
 * A day's stick: each patient's files beside the visit whose name agrees, when exactly one does. Two visits of one name,
 * and a name that nobody has, are left for a person: files under the wrong patient are the worst slip of a round.
 */
export function assignGroups(
  files: readonly StickFile[],
  visits: readonly Visit[],
  day: string,
): AssignedGroup[] {
  const nobody: Compared = { name: '', species: 'other', sex: 'unknown', weight: null };
  const byVisit = visits.map((visit) => ({
    visit,
    groups: new Map(groupFiles(files, comparedOf(visit, day), day).map((g) => [g.key, g])),
  }));
  return groupFiles(files, nobody, day).map((group) => {
    const fitting = byVisit.filter(({ groups }) => {
      const seen = groups.get(group.key);
      return seen?.agrees === true && !seen.differs.includes('name');
    });
    const one = fitting.length === 1 ? fitting[0] : undefined;
    return {
      group,
      visitId: one?.visit.id ?? null,
      differs: one?.groups.get(group.key)?.differs ?? [],
    };
  });
}

/** What differs between a group and a visit that a person has chosen for it. */
export function differsFrom(group: FileGroup, visit: Visit, day: string): readonly string[] {
  return groupFiles(group.files, comparedOf(visit, day), day).find((g) => g.key === group.key)?.differs ?? [];
}
