import { EMPTY_PLANNED, type FoundPatient, type Organisation, type Round } from '@chordae/contract';
import { useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { Button } from '../../kit/button';
import { Dialog } from '../../kit/dialog';
import { Choices, TextField } from '../../kit/field';
import { Problem } from '../../kit/notice';
import { sayDay } from '../../kit/time';
import { sayPatientShort } from '../say-patient';
import { readList } from './read-list';
import { addVisits } from './use-rounds';

/** One patient more: found by name, number or chip at any practice that one serves, or written down in a line. */
export function AddPatientDialog({
  round,
  practices,
  onClose,
  onDone,
}: {
  round: Round;
  practices: readonly Organisation[];
  onClose: () => void;
  onDone: () => Promise<void>;
}) {
  const [find, setFind] = useState('');
  const last = round.visits.at(-1)?.practiceId;
  const [practiceId, setPracticeId] = useState<string | null>(
    practices.length === 1 ? (practices[0]?.id ?? null) : (last ?? null),
  );
  const [problem, setProblem] = useState<string | null>(null);
  const wanted = find.trim();
  const { data } = useQuery({
    queryKey: ['served', wanted],
    queryFn: ({ signal }) => call('findServed', { query: { find: wanted }, signal }),
    enabled: wanted.length > 1,
  });
  const add = async (work: Promise<void>) => {
    try {
      await work;
      await onDone();
      onClose();
    } catch (error) {
      setProblem(sentenceOf(error));
    }
  };
  const choose = (p: FoundPatient) =>
    add(
      addVisits(round, [
        {
          practiceId: p.practiceId,
          patientId: p.patientId,
          planned: {
            ...EMPTY_PLANNED,
            name: p.name,
            species: p.species,
            breedText: p.breedText,
            sex: p.sex,
            weight: p.weightKg === null ? '' : `${p.weightKg} kg`,
          },
        },
      ]),
    );
  const write = () => {
    const line = readList(find, [], new Date(), practiceId)[0];
    if (!line || !practiceId) return setProblem('Write a name, and choose the practice.');
    return add(addVisits(round, [{ practiceId, planned: line.planned }]));
  };
  return (
    <Dialog title="Add a patient" onClose={onClose} wide>
      <div className="stack">
        <TextField
          label="Name, number or chip; or a line such as: Nimbus, cat, 4.2 kg, murmur"
          type="search"
          value={find}
          wide
          onChange={(e) => setFind(e.target.value)}
          onKeyDown={(e) => {
            if (e.key === 'Enter' && (data?.length ?? 0) === 0) {
              e.preventDefault();
              void write();
            }
          }}
        />
        {data && data.length > 0 ? (
          <ul className="patients" aria-label="Patients found">
            {data.slice(0, 8).map((p) => (
              <li key={`${p.practiceId}:${p.patientId}`}>
                <span>
                  <b>{p.name}</b>{' '}
                  <span className="hint">
                    {sayPatientShort(p)}, number {p.number}, {p.practiceName}
                    {p.lastScannedOn ? `, last scanned ${sayDay(p.lastScannedOn)}` : ''}
                  </span>
                </span>
                <Button aria-label={`Choose ${p.name} of ${p.practiceName}`} onClick={() => void choose(p)}>
                  Choose
                </Button>
              </li>
            ))}
          </ul>
        ) : null}
        {data?.length === 0 ? (
          <p className="hint">Nobody of that name at the practices that you serve.</p>
        ) : null}
        {practices.length > 1 ? (
          <Choices
            label="Written down as new for"
            choices={practices.map((p) => [p.id, p.name] as const)}
            value={practiceId}
            onChoose={setPracticeId}
          />
        ) : null}
        {problem ? <Problem>{problem}</Problem> : null}
        <p className="row">
          <Button look="main" disabled={wanted === ''} onClick={() => void write()}>
            Put it on the round
          </Button>
          <span className="hint">The facts are looked over when the scan is opened.</span>
        </p>
      </div>
    </Dialog>
  );
}
