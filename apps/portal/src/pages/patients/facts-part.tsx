import type { PatientRecord } from '@chordae/contract';
import { breeds } from '@chordae/interpretation';
import { useId, useState } from 'react';
import { call } from '../../host/api';
import { usePatchQueue } from '../../host/use-patch-queue';
import { Choices, TextField } from '../../kit/field';
import { Conflicts, SavedState } from '../../kit/saved';
import { SPECIES } from '../referrals/patient-fields';
import { readBirth, readBreed } from '../referrals/patient-form';

const FIELD_NAMES: Record<string, string> = {
  name: 'the name',
  species: 'the species',
  breedText: 'the breed',
  breedCode: 'the breed’s code',
  sex: 'the sex',
  neutered: 'whether it is neutered',
  birthDate: 'the birth date',
  birthPrecision: 'how exactly the birth date is known',
  chip: 'the chip number',
};

/** What limits rest on. Each change is saved by itself; open cases are computed again with it. */
export function FactsPart({
  patient,
  mayEdit,
  reread,
}: {
  patient: PatientRecord;
  mayEdit: boolean;
  reread: () => Promise<void>;
}) {
  const saved = usePatchQueue(
    patient.revision,
    (patch) =>
      call('patchPatient', {
        params: { practiceId: patient.practiceId, patientId: patient.id },
        body: patch,
      }),
    reread,
  );
  const shown = { ...patient, ...saved.own } as PatientRecord;
  const set = (fields: Record<string, unknown>) => saved.queue.set(fields);
  const list = useId();
  return (
    <section className="form-part" aria-labelledby="pp-facts">
      <div className="head-row">
        <h2 id="pp-facts">Particulars</h2>
        {mayEdit ? <SavedState views={[saved]} /> : null}
      </div>
      <Conflicts
        conflicts={saved.conflicts}
        nameOf={(f) => FIELD_NAMES[f] ?? f}
        onResolve={(field, keep) => saved.queue.resolve(field, keep)}
      />
      <div className="form-grid">
        <HeldText
          label="Name"
          value={shown.name}
          disabled={!mayEdit}
          read={readName}
          onRead={(name) => set({ name })}
        />
        <HeldText
          label="Breed"
          list={list}
          value={shown.breedText}
          disabled={!mayEdit}
          read={(text) => ({ value: readBreed(text, shown.species) })}
          onRead={(breed) => set({ ...breed })}
        />
        <datalist id={list}>
          {breeds
            .filter((b) => b.species === shown.species)
            .map((b) => (
              <option key={b.code} value={b.name} />
            ))}
        </datalist>
        <HeldText
          label="Birth date or age"
          value={writeBirth(shown)}
          disabled={!mayEdit}
          hint={
            shown.birthPrecision === 'guessed'
              ? 'Guessed from an age.'
              : '2018-05-03, 2018, 8 y, 10 m. Empty: not known.'
          }
          read={readBirthText}
          onRead={(birth) => set({ ...birth })}
        />
        <HeldText
          label="Chip number"
          value={shown.chip ?? ''}
          disabled={!mayEdit}
          read={(text) => ({ value: text.trim() === '' ? null : text.trim().slice(0, 30) })}
          onRead={(chip) => set({ chip })}
        />
      </div>
      <Choices
        label="Species"
        disabled={!mayEdit}
        choices={SPECIES}
        value={shown.species}
        hint="Limits differ by species: open cases are computed again."
        onChoose={(species) =>
          set({ species, ...readBreed(shown.breedText, species as PatientRecord['species']) })
        }
      />
      <div className="row">
        <Choices
          label="Sex"
          disabled={!mayEdit}
          choices={[
            ['female', 'Female'],
            ['male', 'Male'],
            ['unknown', 'Not known'],
          ]}
          value={shown.sex}
          onChoose={(sex) => set({ sex })}
        />
        <Choices
          label="Neutered"
          disabled={!mayEdit}
          choices={[
            ['yes', 'Yes'],
            ['no', 'No'],
            ['unknown', 'Not known'],
          ]}
          value={shown.neutered === null ? 'unknown' : shown.neutered ? 'yes' : 'no'}
          onChoose={(n) => set({ neutered: n === 'unknown' ? null : n === 'yes' })}
        />
      </div>
    </section>
  );
}

type Read<T> = (text: string) => { readonly value: T } | { readonly problem: string };

const readName: Read<string> = (text) =>
  text.trim() === '' ? { problem: 'The patient needs a name.' } : { value: text.trim() };

type Birth = { birthDate: string | null; birthPrecision: PatientRecord['birthPrecision'] };
const readBirthText: Read<Birth> = (text) => {
  if (text.trim() === '') return { value: { birthDate: null, birthPrecision: null } };
  const found = readBirth(text, new Date());
  if (found === null)
    return { problem: 'Write a date such as 2018-05-03, a year, or an age such as 8 y or 10 m.' };
  return found === 'future' ? { problem: 'This lies in the future.' } : { value: found };
};

function writeBirth(p: PatientRecord): string {
  if (!p.birthDate) return '';
  if (p.birthPrecision === 'year') return p.birthDate.slice(0, 4);
  return p.birthPrecision === 'month'
    ? `${Number(p.birthDate.slice(5, 7))}/${p.birthDate.slice(0, 4)}`
    : p.birthDate;
}

/** A text that is saved when it is left, and only where it can be read: half a date is nothing to keep. */
function HeldText<T>({
  label,
  value,
  read,
  onRead,
  ...rest
}: {
  label: string;
  value: string;
  disabled: boolean;
  hint?: string;
  list?: string;
  read: Read<T>;
  onRead: (value: T) => void;
}) {
  const [typed, setTyped] = useState<string | null>(null);
  const found = typed === null ? null : read(typed);
  return (
    <TextField
      {...rest}
      label={label}
      value={typed ?? value}
      problem={found && 'problem' in found ? found.problem : null}
      onChange={(e) => setTyped(e.target.value)}
      onBlur={() => {
        if (!found || 'problem' in found) return;
        if (typed !== value) onRead(found.value);
        setTyped(null);
      }}
    />
  );
}
