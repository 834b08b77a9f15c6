import type { Me } from '@chordae/contract';
import { useQueryClient } from '@tanstack/react-query';
import { useRouter, useSearch } from '@tanstack/react-router';
import type { FormEvent } from 'react';
import { useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { homeOf, meQuery } from '../../host/session';
import { useTitle } from '../../host/title';
import { Button } from '../../kit/button';
import { TextField } from '../../kit/field';

/** Address and password. `onDone` gets who came in. */
export function SignInForm({ onDone, email: known = '' }: { onDone: (me: Me) => void; email?: string }) {
  const [email, setEmail] = useState(known);
  const [password, setPassword] = useState('');
  const [problem, setProblem] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  const submit = async (event: FormEvent) => {
    event.preventDefault();
    setBusy(true);
    setProblem(null);
    try {
      onDone(await call('signIn', { body: { email, password } }));
    } catch (error) {
      setProblem(sentenceOf(error));
      setBusy(false);
    }
  };
  return (
    <form className="stack" onSubmit={(event) => void submit(event)}>
      <TextField
        label="E-mail address"
        type="email"
        required
        autoComplete="username"
        value={email}
        onChange={(e) => setEmail(e.target.value)}
      />
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
        <Button type="submit" look="main" disabled={busy}>
          {busy ? 'Signing in …' : 'Sign in'}
        </Button>
      </p>
    </form>
  );
}

export function SignInPage() {
  useTitle('Sign in');
  const client = useQueryClient();
  const router = useRouter();
  const { to } = useSearch({ from: '/shell/sign-in' });
  const done = (me: Me) => {
    client.setQueryData(meQuery.queryKey, me);
    router.history.push(to ?? homeOf(me));
  };
  return (
    <div className="narrow">
      <h1>Sign in</h1>
      <SignInForm onDone={done} />
      {window.isSecureContext ? null : (
        <p className="hint">
          This page was opened without a secure connection. From another device nobody can sign in so, nothing
          could be kept without a network, and the camera stays closed. Ask who runs Chordae here to start it
          with <code>chordae serve --tls</code> and open the https address that it prints.
        </p>
      )}
    </div>
  );
}
