import type { ScanRecord, StateAtScan } from '@chordae/contract';
import { capital, stateNames, stateValueNames } from '@chordae/words';
import { type Choice, SelectField, TextField } from '../../kit/field';

const NOT_YET: Choice = ['', 'not asked yet'];
const CHOICES: readonly (readonly [keyof StateAtScan, readonly Choice[]])[] = [
  ...Object.entries(stateValueNames).map(
    ([field, values]) => [field as keyof StateAtScan, [NOT_YET, ...Object.entries(values)]] as const,
  ),
  ['bodyCondition', [NOT_YET, ...Array.from({ length: 9 }, (_, n) => [`${n + 1}`, `${n + 1}`] as const)]],
];

/** What decides which numbers may be graded. */
export function StatePart({
  scan,
  own,
  editing,
  onChange,
}: {
  scan: ScanRecord;
  own: Readonly<Record<string, unknown>>;
  editing: boolean;
  onChange: (fields: Record<string, unknown>) => void;
}) {
  const state = { ...scan.state, ...(own['state'] as Partial<StateAtScan> | undefined) };
  const set = (part: Partial<StateAtScan>) => onChange({ state: { ...state, ...part } });
  const text = (field: 'operator' | 'machine' | 'scannedOn') =>
    (own[field] as string | undefined) ?? scan[field];
  return (
    <section className="part" aria-labelledby="p-state">
      <h2 id="p-state">State at the scan</h2>
      <p className="hint">It decides what may be graded. ‘Not known’ is an answer.</p>
      <div className="form-grid">
        {CHOICES.map(([key, choices]) => (
          <SelectField
            key={key}
            label={capital(stateNames[key])}
            disabled={!editing}
            choices={choices}
            value={String(state[key] ?? '')}
            onChange={(e) => {
              const value = e.target.value === '' ? null : e.target.value;
              set({ [key]: key === 'bodyCondition' && value ? Number(value) : value });
            }}
          />
        ))}
        <TextField
          label={capital(stateNames.heartDrugs)}
          disabled={!editing}
          value={state.heartDrugs ?? ''}
          onChange={(e) => set({ heartDrugs: e.target.value || null })}
        />
        <TextField
          label="Scanned on"
          type="date"
          disabled={!editing}
          value={text('scannedOn')}
          onChange={(e) => {
            if (e.target.value) onChange({ scannedOn: e.target.value });
          }}
        />
        <TextField
          label="Scanned by"
          disabled={!editing}
          value={text('operator')}
          onChange={(e) => onChange({ operator: e.target.value })}
        />
        <TextField
          label="Machine"
          disabled={!editing}
          value={text('machine')}
          onChange={(e) => onChange({ machine: e.target.value })}
        />
      </div>
    </section>
  );
}
