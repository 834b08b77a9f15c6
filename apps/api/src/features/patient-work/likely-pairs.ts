import type { LikelyPair, Likeness, Sex, Species } from '@chordae/contract';
import { groupedBy } from '../../platform/grouped-by';

/** What decides whether two patients may be one. Texts are folded (small letters, no accents), telephones are digits. */
export interface Comparable {
  readonly id: string;
  readonly number: number;
  readonly name: string;
  readonly folded: string;
  readonly species: Species;
  readonly sex: Sex;
  readonly birthDate: string | null;
  readonly birthPrecision: 'day' | 'month' | 'year' | 'guessed' | null;
  readonly chip: string;
  readonly keeperName: string;
  readonly keeperPhone: string;
}

/** Days between two birth dates that may still be one animal's; a guessed year is off by more than a written day. */
const CLOSE_DAYS = { day: 31, month: 62, year: 366, guessed: 366 } as const;
/** The last digits of a telephone: 087… and +353 87… are one line. */
const PHONE_TAIL = 7;

/** Pairs that a person should look at, the surest first. Never across species; never where both sexes or both chips are known and differ. */
export function likelyPairs(patients: readonly Comparable[]): LikelyPair[] {
  const found = new Map<string, LikelyPair>();
  const consider = (group: readonly Comparable[]) => {
    group.forEach((one, at) => {
      for (const other of group.slice(at + 1)) {
        const because = likenesses(one, other);
        if (because.length > 0)
          found.set([one.id, other.id].sort().join(), { one: shown(one), other: shown(other), because });
      }
    });
  };
  for (const [chip, group] of groupedBy(patients, (p) => p.chip)) if (chip !== '') consider(group);
  for (const group of groupedBy(patients, (p) => `${p.species} ${p.folded}`).values()) consider(group);
  return [...found.values()].sort(
    (a, b) =>
      Number(b.because.includes('chip')) - Number(a.because.includes('chip')) ||
      b.because.length - a.because.length ||
      a.one.number - b.one.number,
  );
}

const shown = ({ id, number, name, species }: Comparable) => ({ id, number, name, species });

/** Why these two look like one; empty when nothing says so, or something speaks against it. */
export function likenesses(one: Comparable, other: Comparable): Likeness[] {
  if (one.species !== other.species) return [];
  const sameChip = one.chip !== '' && one.chip === other.chip;
  if (sameChip) return ['chip', ...nameLikenesses(one, other)];
  if (one.chip !== '' && other.chip !== '') return [];
  if (one.sex !== other.sex && one.sex !== 'unknown' && other.sex !== 'unknown') return [];
  return nameLikenesses(one, other);
}

function nameLikenesses(one: Comparable, other: Comparable): Likeness[] {
  if (one.folded !== other.folded) return [];
  const because: Likeness[] = [];
  if (closeBirths(one, other)) because.push('birth');
  const phones = [one.keeperPhone, other.keeperPhone];
  if (phones.every((p) => p.length >= PHONE_TAIL) && tail(one.keeperPhone) === tail(other.keeperPhone))
    because.push('keeper-phone');
  if (one.keeperName !== '' && one.keeperName === other.keeperName) because.push('keeper-name');
  return because;
}

const tail = (phone: string): string => phone.slice(-PHONE_TAIL);

function closeBirths(one: Comparable, other: Comparable): boolean {
  if (!one.birthDate || !other.birthDate) return false;
  const apart = Math.abs(Date.parse(one.birthDate) - Date.parse(other.birthDate)) / 86_400_000;
  return (
    apart <=
    Math.max(CLOSE_DAYS[one.birthPrecision ?? 'guessed'], CLOSE_DAYS[other.birthPrecision ?? 'guessed'])
  );
}
