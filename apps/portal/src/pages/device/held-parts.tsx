import { capital, sayWrite } from '@chordae/words';
import type { FormEvent } from 'react';
import { useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { device, type KeptConflict, type Op } from '../../host/device';
import { Button } from '../../kit/button';
import { TextField } from '../../kit/field';
import { Problem } from '../../kit/notice';
import { Conflicts } from '../../kit/saved';
import { nameOfField } from '../field-names';

/** What the server would not take: its sentence, and what can be done. Nothing goes without being asked about. */
export function Refused({ op, waiting }: { op: Op; waiting: number }) {
  const [asked, setAsked] = useState(false);
  return (
    <li className="notice notice-look">
      <p>
        <b>{capital(sayWrite(op.route))} was not taken.</b> {op.says}
      </p>
      {waiting > 0 ? (
        <p className="hint">
          {waiting === 1 ? 'One later change' : `${waiting} later changes`} of the same case{' '}
          {waiting === 1 ? 'waits' : 'wait'} behind it.
        </p>
      ) : null}
      <details>
        <summary>What was entered</summary>
        <pre className="mail-body">{sayBody(op.body)}</pre>
      </details>
      <p className="row">
        <Button onClick={() => void device.outbox.tryAgain(op.seq)}>Try again</Button>
        {asked ? (
          <>
            <span>It is then gone for good.</span>
            <Button onClick={() => void device.outbox.throwAway(op.seq)}>Yes, throw it away</Button>
            <Button look="quiet" onClick={() => setAsked(false)}>
              Keep it
            </Button>
          </>
        ) : (
          <Button look="quiet" onClick={() => setAsked(true)}>
            Throw it away …
          </Button>
        )}
      </p>
    </li>
  );
}

function sayBody(body: unknown): string {
  return Object.entries((body ?? {}) as Record<string, unknown>)
    .filter(([, value]) => value !== null && value !== '')
    .map(([key, value]) => `${key}: ${typeof value === 'string' ? value : JSON.stringify(value)}`)
    .join('\n');
}

/** Fields that somebody else wrote as well: chosen here or on the page of the case. */
export function Choices({ conflicts }: { conflicts: readonly KeptConflict[] }) {
  const [problem, setProblem] = useState<string | null>(null);
  const choose = async (field: string, keep: 'yours' | 'theirs') => {
    const conflict = conflicts.find((c) => c.field === field);
    if (!conflict) return;
    setProblem(null);
    try {
      // One's own value is written like any other, by somebody who has seen the other's; that settles the choice.
      if (keep === 'yours')
        await call(conflict.route as 'patchReferral', {
          params: conflict.params,
          body: {
            base: conflict.revision,
            bases: { [field]: conflict.revision },
            fields: { [field]: conflict.yours },
          },
        });
      await device.outbox.settle(conflict.row, field);
    } catch (error) {
      setProblem(sentenceOf(error));
    }
  };
  return (
    <>
      {problem ? <Problem>{problem}</Problem> : null}
      <Conflicts
        conflicts={conflicts}
        nameOf={nameOfField}
        onResolve={(field, keep) => void choose(field, keep)}
      />
    </>
  );
}

/** The password for what is to be signed: asked for once, used for what waits now, kept nowhere. */
export function PasswordFor({ signatures }: { signatures: readonly Op[] }) {
  const [password, setPassword] = useState('');
  const problem = signatures.find((o) => o.code === 'PASSWORD_WRONG')?.says ?? null;
  const submit = (event: FormEvent) => {
    event.preventDefault();
    device.outbox.givePassword(password);
    setPassword('');
  };
  return (
    <form className="notice notice-look" onSubmit={submit}>
      <p>
        {signatures.length === 1 ? 'One signature is' : `${signatures.length} signatures are`} pending. A
        password is never kept on a device: enter yours once, and they go in their order as soon as there is a
        network.
      </p>
      <ul className="small-list">
        {signatures.map((o) => (
          <li key={o.seq}>
            {capital(sayWrite(o.route))}
            {o.about ? ` for ${o.about}` : ''}
          </li>
        ))}
      </ul>
      <TextField
        label="Password"
        type="password"
        required
        autoComplete="current-password"
        value={password}
        problem={problem}
        onChange={(e) => setPassword(e.target.value)}
      />
      <p className="row">
        <Button type="submit" look="main">
          Sign these
        </Button>
      </p>
    </form>
  );
}
