import type { PatientPage } from '@chordae/contract';
import { keepPreviousData, useQuery } from '@tanstack/react-query';
import { useNavigate } from '@tanstack/react-router';
import { useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { uuidv7 } from '../../host/uuid';
import { Button } from '../../kit/button';
import { Dialog } from '../../kit/dialog';
import { Choices, TextArea, TextField } from '../../kit/field';
import { Loading, Problem } from '../../kit/notice';
import { sayDay } from '../../kit/time';
import { saySpeciesName } from '../say-patient';

/** Two patients side by side: which one stays, and why they are one. */
export function MergeDialog({
  here,
  otherId,
  onClose,
  reread,
}: {
  here: PatientPage;
  otherId: string | null;
  onClose: () => void;
  reread: () => Promise<void>;
}) {
  const { practiceId } = here.patient;
  const [chosen, setChosen] = useState(otherId);
  const { data: other, error } = useQuery({
    queryKey: ['patient-page', practiceId, chosen],
    queryFn: ({ signal }) =>
      call('getPatientPage', { params: { practiceId, patientId: chosen ?? '' }, signal }),
    enabled: chosen !== null,
  });
  return (
    <Dialog title={`Is ${here.patient.name} registered twice?`} onClose={onClose} wide>
      {chosen === null ? <FindOther here={here} onChoose={setChosen} /> : null}
      {error ? <Problem>{error.message}</Problem> : null}
      {chosen !== null && !other && !error ? <Loading what="the other patient" /> : null}
      {other ? <Compare here={here} other={other} onClose={onClose} reread={reread} /> : null}
    </Dialog>
  );
}

function FindOther({ here, onChoose }: { here: PatientPage; onChoose: (id: string) => void }) {
  const { practiceId } = here.patient;
  const [find, setFind] = useState('');
  const wanted = find.trim();
  const { data } = useQuery({
    queryKey: ['patient-rows', practiceId, wanted],
    queryFn: ({ signal }) =>
      call('listPatientRows', { params: { practiceId }, query: { find: wanted }, signal }),
    enabled: wanted.length > 1,
    placeholderData: keepPreviousData,
  });
  const others = (data?.rows ?? []).filter((r) => r.id !== here.patient.id);
  return (
    <>
      <TextField
        label="The other patient"
        type="search"
        value={find}
        hint="By name, number, chip, the keeper’s name or telephone."
        onChange={(e) => setFind(e.target.value)}
      />
      {wanted.length > 1 && data && others.length === 0 ? (
        <p className="hint">No other patient fits these words.</p>
      ) : null}
      <ul className="patients">
        {others.slice(0, 8).map((r) => (
          <li key={r.id}>
            <span>
              <b>{r.name}</b>{' '}
              <span className="hint">
                number {r.number}, {saySpeciesName(r.species)}
                {r.keeperName ? `, ${r.keeperName}` : ''}
              </span>
            </span>
            <Button onClick={() => onChoose(r.id)} aria-label={`Compare with ${r.name}, number ${r.number}`}>
              Compare
            </Button>
          </li>
        ))}
      </ul>
    </>
  );
}

function Compare({
  here,
  other,
  onClose,
  reread,
}: {
  here: PatientPage;
  other: PatientPage;
  onClose: () => void;
  reread: () => Promise<void>;
}) {
  const [stays, setStays] = useState<string | null>(null);
  const [reason, setReason] = useState('');
  const [problem, setProblem] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  const [mergeId] = useState(uuidv7);
  const go = useNavigate();
  const pair = [here, other] as const;
  const away = pair.find((p) => p.patient.id !== stays) ?? other;
  const merge = async () => {
    setProblem(null);
    if (stays === null) return setProblem('Choose which of the two stays.');
    if (reason.trim() === '') return setProblem('Say why these are the same animal.');
    setBusy(true);
    const { practiceId } = here.patient;
    try {
      await call('mergePatients', {
        params: { practiceId, mergeId },
        body: { fromId: away.patient.id, intoId: stays, reason: reason.trim() },
      });
      await reread();
      onClose();
      if (stays !== here.patient.id)
        await go({ to: '/p/$practiceId/patients/$patientId', params: { practiceId, patientId: stays } });
    } catch (error) {
      setProblem(sentenceOf(error));
    } finally {
      setBusy(false);
    }
  };
  return (
    <>
      <div className="table-scroll">
        <table className="plain-table merge-table">
          <thead>
            <tr>
              <th scope="col">
                <span className="hidden">What</span>
              </th>
              {pair.map((p) => (
                <th key={p.patient.id} scope="col">
                  {p.patient.name}, number {p.patient.number}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {compared(here, other).map(([what, one, two]) => (
              <tr key={what}>
                <th scope="row">{what}</th>
                <td>{one}</td>
                <td>
                  {two}
                  {one === two ? null : <span className="hint"> (differs)</span>}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <Choices
        label="Which one stays"
        choices={pair.map((p) => [p.patient.id, `${p.patient.name}, number ${p.patient.number}`] as const)}
        value={stays}
        hint="Its particulars and its keeper hold from then on. Scans, weights and reports of both are read together. Nothing is deleted, and the merge can be undone."
        onChoose={setStays}
      />
      <TextArea
        label="Why they are the same animal"
        rows={2}
        value={reason}
        onChange={(e) => setReason(e.target.value)}
      />
      {problem ? <Problem>{problem}</Problem> : null}
      <p className="row">
        <Button look="main" disabled={busy} onClick={() => void merge()}>
          {stays === null
            ? 'Merge'
            : `Merge, and keep number ${stays === here.patient.id ? here.patient.number : other.patient.number}`}
        </Button>
        <Button onClick={onClose}>Leave them apart</Button>
      </p>
    </>
  );
}

function compared(here: PatientPage, other: PatientPage): readonly (readonly [string, string, string])[] {
  const row = (what: string, of: (p: PatientPage) => string) =>
    [what, of(here) || 'not given', of(other) || 'not given'] as const;
  const scans = (p: PatientPage) => p.timeline.filter((e) => e.kind === 'scan' || e.kind === 'rescan');
  return [
    row('Species', (p) => saySpeciesName(p.patient.species)),
    row('Breed', (p) => p.patient.breedText),
    row('Sex', (p) => (p.patient.sex === 'unknown' ? '' : p.patient.sex)),
    row('Neutered', (p) => (p.patient.neutered === null ? '' : p.patient.neutered ? 'yes' : 'no')),
    row('Born', (p) =>
      p.patient.birthDate
        ? `${sayDay(p.patient.birthDate)}${p.patient.birthPrecision === 'day' ? '' : ' (about)'}`
        : '',
    ),
    row('Chip', (p) => p.patient.chip ?? ''),
    row('Newest weight', (p) => {
      const w = p.patient.weights[0];
      return w
        ? `${w.asTyped || `${w.weightKg} kg`}, ${sayDay(w.weighedOn)}${w.guessed ? ' (guessed)' : ''}`
        : '';
    }),
    row('Keeper', (p) => [p.keeper?.name, p.keeper?.phone].filter(Boolean).join(', ')),
    row('Scans', (p) => String(scans(p).length)),
    row('Last scan', (p) => {
      const last = scans(p)[0];
      return last ? sayDay(last.day) : '';
    }),
  ];
}
