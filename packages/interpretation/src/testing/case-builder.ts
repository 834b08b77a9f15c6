import type {
  InterpretationInput,
  MeasurementCode,
  ObservationCode,
  ScanPlanId,
  Species,
  StateAtScan,
} from '@chordae/contract';
import { unitOf, viewsFor } from '../quantity-table';

/** State at scan with everything answered and nothing in the way. */
export const QUIET_STATE: StateAtScan = {
  sedative: 'none',
  sedativeAt: null,
  diuretic24h: 'no',
  fluids24h: 'no',
  hydration: 'normal',
  rhythm: 'sinus',
  posture: 'lying-right',
  bodyCondition: 5,
  ascites: 'no',
  heartDrugs: null,
};

export interface CaseParts {
  species?: Species;
  breed?: string | null;
  sex?: 'female' | 'male' | 'unknown';
  ageMonths?: number | null;
  kg?: number | null;
  plan?: ScanPlanId;
  state?: Partial<StateAtScan>;
  /** Canonical units, on each quantity's own view. */
  measure?: Partial<Record<MeasurementCode, number>>;
  observe?: Partial<Record<ObservationCode, string>>;
}

/** An invented case for tests: an adult, quiet animal unless the parts say otherwise. */
export function caseOf(parts: CaseParts): InterpretationInput {
  const species = parts.species ?? 'dog';
  const kg = parts.kg === undefined ? (species === 'cat' ? 4.4 : 7.4) : parts.kg;
  return {
    schema: 1,
    patient: {
      species,
      breedCode: parts.breed === undefined ? (species === 'dog' ? 'mixed-breed' : null) : parts.breed,
      breedText: '',
      sex: parts.sex ?? 'female',
      neutered: true,
      ageMonths: parts.ageMonths === undefined ? 96 : parts.ageMonths,
      weight: kg === null ? null : { kg, guessed: false },
    },
    plan: parts.plan ?? (species === 'cat' ? 'cat-before-anaesthesia' : 'small-dog-murmur'),
    urgencyAsked: null,
    state: { ...QUIET_STATE, ...parts.state },
    measurements: (Object.entries(parts.measure ?? {}) as [MeasurementCode, number][]).map(
      ([code, value]) => ({
        id: `m-${code}`,
        code,
        value,
        unit: unitOf(code),
        view: viewsFor(code)[0] ?? null,
        method: '2d' as const,
        beat: null,
        source: 'typed' as const,
      }),
    ),
    observations: (Object.entries(parts.observe ?? {}) as [ObservationCode, string][]).map(
      ([code, value]) => ({
        id: `o-${code}`,
        code,
        value,
      }),
    ),
    views: [],
  };
}
