import type { Species } from '@chordae/contract';
import { breeds } from '@chordae/interpretation';
import { useId } from 'react';
import { Choices, SelectField, TextField } from '../../kit/field';
import type { PatientForm, PatientProblems } from './patient-form';

export const SPECIES: readonly (readonly [Species, string])[] = [
  ['dog', 'Dog'],
  ['cat', 'Cat'],
  ['horse', 'Horse'],
  ['ferret', 'Ferret'],
  ['rabbit', 'Rabbit'],
  ['other', 'Other'],
];

/** Everything about the patient that limits rest on. */
export function PatientFields({
  form,
  problems,
  onChange,
}: {
  form: PatientForm;
  problems: PatientProblems;
  onChange: (part: Partial<PatientForm>) => void;
}) {
  const list = useId();
  const known = breeds.filter((b) => b.species === form.species);
  return (
    <div className="stack">
      <div className="form-grid">
        <TextField
          label="Patient name"
          value={form.name}
          problem={problems.name ?? null}
          onChange={(e) => onChange({ name: e.target.value })}
        />
        <TextField
          label="Breed"
          list={list}
          value={form.breed}
          hint="From the list where it is there, else in your own words."
          onChange={(e) => onChange({ breed: e.target.value })}
        />
        <datalist id={list}>
          {known.map((b) => (
            <option key={b.code} value={b.name} />
          ))}
        </datalist>
        <TextField
          label="Birth date or age"
          value={form.birth}
          problem={problems.birth ?? null}
          hint="2018-05-03, 2018, 8 y, 10 m. Empty: not known."
          onChange={(e) => onChange({ birth: e.target.value })}
        />
      </div>
      <Choices
        label="Species"
        choices={SPECIES}
        value={form.species}
        problem={problems.species ?? null}
        onChoose={(species) => onChange({ species: species as Species })}
      />
      <div className="form-grid">
        <Choices
          label="Sex"
          choices={[
            ['female', 'Female'],
            ['male', 'Male'],
            ['unknown', 'Not known'],
          ]}
          value={form.sex}
          problem={problems.sex ?? null}
          onChoose={(sex) => onChange({ sex: sex as PatientForm['sex'] })}
        />
        <Choices
          label="Neutered"
          choices={[
            ['yes', 'Yes'],
            ['no', 'No'],
            ['unknown', 'Not known'],
          ]}
          value={form.neutered}
          onChoose={(neutered) => onChange({ neutered: neutered as PatientForm['neutered'] })}
        />
      </div>
      <WeightFields form={form} problems={problems} onChange={onChange} />
    </div>
  );
}

export function WeightFields({
  form,
  problems,
  onChange,
}: {
  form: Pick<PatientForm, 'weight' | 'weightUnit' | 'weightHow'>;
  problems: PatientProblems;
  onChange: (part: Partial<PatientForm>) => void;
}) {
  return (
    <div className="form-grid">
      <TextField
        label="Body weight"
        inputMode="decimal"
        value={form.weight}
        problem={problems.weight ?? null}
        hint="7.4 or 7,4 kg or 16.3 lb. Empty: nothing that needs it is computed."
        onChange={(e) => onChange({ weight: e.target.value })}
      />
      <SelectField
        label="Weight unit"
        choices={[
          ['', 'as written'],
          ['kg', 'kg'],
          ['lb', 'lb'],
        ]}
        value={form.weightUnit}
        onChange={(e) => onChange({ weightUnit: e.target.value as PatientForm['weightUnit'] })}
      />
      <Choices
        label="Weight was"
        choices={[
          ['measured', 'Measured'],
          ['guessed', 'Guessed'],
        ]}
        value={form.weightHow}
        problem={problems.weightHow ?? null}
        onChoose={(how) => onChange({ weightHow: how as PatientForm['weightHow'] })}
      />
    </div>
  );
}
