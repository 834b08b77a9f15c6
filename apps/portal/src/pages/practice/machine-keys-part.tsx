import type { MachineKey } from '@chordae/contract';
import { useQuery, useQueryClient } from '@tanstack/react-query';
import type { FormEvent } from 'react';
import { useRef, useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { uuidv7 } from '../../host/uuid';
import { Button } from '../../kit/button';
import { TextField } from '../../kit/field';
import { Notice, Problem } from '../../kit/notice';
import { sayMoment } from '../../kit/time';

/** Keys by which a machine's export folder is sent by itself; shown once, taken away by one button. */
export function MachineKeysPart({ practiceId }: { practiceId: string }) {
  const client = useQueryClient();
  const { data, error } = useQuery({
    queryKey: ['machine-keys', practiceId],
    queryFn: ({ signal }) => call('listMachineKeys', { params: { practiceId }, signal }),
  });
  const [name, setName] = useState('');
  const [made, setMade] = useState<{ name: string; key: string } | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const id = useRef(uuidv7());
  const reread = () => client.invalidateQueries({ queryKey: ['machine-keys', practiceId] });
  const make = async (event: FormEvent) => {
    event.preventDefault();
    setProblem(null);
    if (name.trim() === '') return setProblem('Say which machine the key is for.');
    try {
      const reply = await call('putMachineKey', {
        params: { practiceId, keyId: id.current },
        body: { name: name.trim() },
      });
      setMade({ name: reply.name, key: reply.key });
      setName('');
    } catch (e) {
      setProblem(sentenceOf(e));
    }
    // A key that was lost on the way cannot be shown again: the next one has an id of its own.
    id.current = uuidv7();
    await reread();
  };
  const revoke = (keyId: string) =>
    call('revokeMachineKey', { params: { practiceId, keyId }, body: {} })
      .then(reread)
      .catch((e: unknown) => setProblem(sentenceOf(e)));
  const standing = data?.filter((k) => k.revokedAt === null) ?? [];
  const gone = data?.filter((k) => k.revokedAt !== null) ?? [];
  return (
    <section className="form-part" aria-labelledby="pr-machines">
      <h2 id="pr-machines">Machines that send by themselves</h2>
      <p className="hint">
        <code>chordae send --watch FOLDER</code> sends what a machine exports to the open cases whose patient
        it names. A key sends files to open cases of this practice and reads of each only name, species, sex,
        weight and the day of the scan.
      </p>
      {made ? (
        <Notice level="look" live>
          <p>
            The key for {made.name}. It is shown this once: put it into a file that only that computer reads.
          </p>
          <p className="machine-key">{made.key}</p>
        </Notice>
      ) : null}
      {error ? <Problem>{error.message}</Problem> : null}
      {standing.length === 0 ? <p className="empty">No key is in use.</p> : null}
      <ul className="patients">
        {standing.map((k) => (
          <li key={k.id}>
            <span>
              <b>{k.name}</b> <span className="hint">{sayUse(k)}</span>
            </span>
            <Button aria-label={`Make the key of ${k.name} worthless`} onClick={() => void revoke(k.id)}>
              Take away
            </Button>
          </li>
        ))}
      </ul>
      {gone.length > 0 ? (
        <details>
          <summary>{gone.length} taken away</summary>
          <ul className="small-list">
            {gone.map((k) => (
              <li key={k.id}>
                {k.name}, taken away by {k.revokedBy} {k.revokedAt ? sayMoment(k.revokedAt) : ''}
              </li>
            ))}
          </ul>
        </details>
      ) : null}
      <form className="machine-keys-new" onSubmit={(e) => void make(e)} noValidate>
        <TextField label="Machine" value={name} maxLength={80} onChange={(e) => setName(e.target.value)} />
        <Button type="submit">Make a key</Button>
      </form>
      {problem ? <Problem>{problem}</Problem> : null}
    </section>
  );
}

function sayUse(k: MachineKey): string {
  const used = k.lastUsedAt ? `last used ${sayMoment(k.lastUsedAt)}` : 'not used yet';
  return `made by ${k.madeBy} ${sayMoment(k.madeAt)}, ${used}`;
}
