import type { PatientRecord, WeightRecord } from '@chordae/contract';
import { overTime } from '@chordae/figure';
import { parseWeight } from '@chordae/interpretation';
import { formatNumber, sayError } from '@chordae/words';
import { useMemo, useRef, useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { uuidv7 } from '../../host/uuid';
import { Button } from '../../kit/button';
import { Dialog } from '../../kit/dialog';
import { TextField } from '../../kit/field';
import { FigureSvg } from '../../kit/limit-line';
import { Notice } from '../../kit/notice';
import { sayDay, today } from '../../kit/time';
import { useWidth } from '../../kit/use-width';
import { WeightFields } from '../referrals/patient-fields';
import type { PatientForm } from '../referrals/patient-form';
import { chartedWeights } from './charted-weights';

const kg = (value: number): string => formatNumber(value, value < 10 ? 2 : 1);
const shortDay = (day: string): string =>
  new Intl.DateTimeFormat('en-GB', { month: 'short', year: 'numeric', timeZone: 'UTC' }).format(
    new Date(`${day}T00:00:00Z`),
  );

/** All weights with their days; a guessed one is drawn hollow and says so. */
export function WeightsPart({
  patient,
  mayEdit,
  reread,
}: {
  patient: PatientRecord;
  mayEdit: boolean;
  reread: () => Promise<void>;
}) {
  const [adding, setAdding] = useState(false);
  const { weights } = patient;
  return (
    <section className="form-part" aria-labelledby="pp-weights">
      <div className="head-row">
        <h2 id="pp-weights">Weight</h2>
        {mayEdit ? <Button onClick={() => setAdding(true)}>Add a weight</Button> : null}
      </div>
      {weights.length === 0 ? (
        <Notice level="look">
          No weight is given: nothing that is judged by body weight can be computed for this patient.
        </Notice>
      ) : null}
      <Chart weights={weights} />
      {weights.length > 0 ? <WeightTable weights={weights} /> : null}
      {adding ? (
        <AddWeight
          onClose={() => setAdding(false)}
          put={async (weight) => {
            await call('putWeight', {
              params: { practiceId: patient.practiceId, patientId: patient.id, weightId: weight.id },
              body: weight.body,
            });
            await reread();
          }}
        />
      ) : null}
    </section>
  );
}

function Chart({ weights }: { weights: readonly WeightRecord[] }) {
  const box = useRef<HTMLDivElement>(null);
  const width = useWidth(box);
  const values = useMemo(() => chartedWeights(weights), [weights]);
  const figure = overTime({ values, events: [], width, height: 170, format: kg, formatDay: shortDay });
  if (values.length < 2) return null;
  const label = `Weight over time: ${values
    .map((v) => `${kg(v.value)} kg on ${sayDay(v.day)}${v.graded ? '' : ' (guessed)'}`)
    .join(', ')}`;
  return (
    <div ref={box} className="weight-chart">
      <FigureSvg figure={figure} label={label} />
      <p className="hint">In kg. Full mark: measured; hollow mark: guessed.</p>
    </div>
  );
}

function WeightTable({ weights }: { weights: readonly WeightRecord[] }) {
  const [all, setAll] = useState(false);
  const shown = all ? weights : weights.slice(0, 6);
  return (
    <>
      <div className="table-scroll">
        <table className="plain-table">
          <thead>
            <tr>
              <th scope="col">Day</th>
              <th scope="col" className="number">
                Weight
              </th>
              <th scope="col">How</th>
              <th scope="col">As typed</th>
            </tr>
          </thead>
          <tbody>
            {shown.map((w) => (
              <tr key={w.id}>
                <td>{sayDay(w.weighedOn)}</td>
                <td className="number">{kg(w.weightKg)} kg</td>
                <td>{w.guessed ? 'guessed' : 'measured'}</td>
                <td>{w.asTyped}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      {shown.length < weights.length ? (
        <p>
          <Button onClick={() => setAll(true)}>Show all {weights.length} weights</Button>
        </p>
      ) : null}
    </>
  );
}

interface NewWeight {
  readonly id: string;
  readonly body: { weightKg: number; asTyped: string; guessed: boolean; weighedOn: string };
}

function AddWeight({ onClose, put }: { onClose: () => void; put: (weight: NewWeight) => Promise<void> }) {
  const [form, setForm] = useState<Pick<PatientForm, 'weight' | 'weightUnit' | 'weightHow'>>({
    weight: '',
    weightUnit: '',
    weightHow: '',
  });
  const [weighedOn, setWeighedOn] = useState(today());
  const [problems, setProblems] = useState<Partial<Record<'weight' | 'weightHow' | 'day', string>>>({});
  // Made once: repeating a lost request then changes nothing.
  const [id] = useState(uuidv7);
  const save = async () => {
    const parsed = parseWeight(form.weight, form.weightUnit === '' ? null : form.weightUnit);
    if (!parsed.ok) return setProblems({ weight: sayError(parsed.code, parsed.data) });
    if (form.weightHow === '') return setProblems({ weightHow: 'Say whether it was measured or guessed.' });
    if (weighedOn === '' || weighedOn > today())
      return setProblems({ day: 'Choose the day, today or before.' });
    try {
      const { kg: weightKg, asTyped } = parsed;
      await put({ id, body: { weightKg, asTyped, guessed: form.weightHow === 'guessed', weighedOn } });
      onClose();
    } catch (error) {
      setProblems({ weight: sentenceOf(error) });
    }
  };
  return (
    <Dialog title="Add a weight" onClose={onClose}>
      <WeightFields
        form={form}
        problems={problems}
        onChange={(part) => setForm((f) => ({ ...f, ...part }))}
      />
      <TextField
        label="Weighed on"
        type="date"
        value={weighedOn}
        max={today()}
        problem={problems.day ?? null}
        onChange={(e) => setWeighedOn(e.target.value)}
      />
      <p className="row">
        <Button look="main" onClick={() => void save()}>
          Keep this weight
        </Button>
      </p>
    </Dialog>
  );
}
