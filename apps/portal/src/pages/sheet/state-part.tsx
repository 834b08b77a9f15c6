import type { ScanRecord, StateAtScan } from '@chordae/contract';
import { type Choice, SelectField, TextField } from '../../kit/field';

const YES: readonly Choice[] = [
  ['', 'not asked yet'],
  ['yes', 'yes'],
  ['no', 'no'],
  ['unknown', 'not known'],
];
const CHOICES: readonly (readonly [keyof StateAtScan, string, readonly Choice[]])[] = [
  [
    'sedative',
    'Sedative',
    [
      ['', 'not asked yet'],
      ['none', 'none'],
      ['alpha-2', 'alpha-2 agonist'],
      ['opioid', 'opioid'],
      ['gabapentin', 'gabapentin'],
      ['other', 'another'],
      ['unknown', 'not known'],
    ],
  ],
  ['diuretic24h', 'Diuretic in the last 24 hours', YES],
  ['fluids24h', 'Fluids in the last 24 hours', YES],
  [
    'hydration',
    'Hydration',
    [
      ['', 'not asked yet'],
      ['normal', 'as it should be'],
      ['dry', 'dry'],
      ['overloaded', 'overloaded'],
      ['unknown', 'not known'],
    ],
  ],
  [
    'rhythm',
    'Rhythm',
    [
      ['', 'not asked yet'],
      ['sinus', 'sinus'],
      ['atrial-fibrillation', 'atrial fibrillation'],
      ['other-arrhythmia', 'another arrhythmia'],
      ['unknown', 'not known'],
    ],
  ],
  [
    'posture',
    'Posture',
    [
      ['', 'not asked yet'],
      ['lying-right', 'lying on the right'],
      ['lying-left', 'lying on the left'],
      ['sternal', 'on the chest'],
      ['standing', 'standing'],
      ['unknown', 'not known'],
    ],
  ],
  ['ascites', 'Fluid in the belly', YES],
  [
    'bodyCondition',
    'Body condition (of 9)',
    [['', 'not asked yet'], ...Array.from({ length: 9 }, (_, n) => [String(n + 1), String(n + 1)] as const)],
  ],
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
        {CHOICES.map(([key, label, choices]) => (
          <SelectField
            key={key}
            label={label}
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
          label="Heart drugs"
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
