import { type ReactNode, useState } from 'react';
import { sentenceOf } from '../host/api';
import { Button } from './button';
import { TextArea, TextField } from './field';

/** Keeps the password, what was refused and whether signing is under way; `sign` closes what asked for it. */
function useSigning(sign: (password: string) => Promise<void>) {
  const [password, setPassword] = useState('');
  const [problem, setProblem] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  const submit = async () => {
    setBusy(true);
    setProblem(null);
    try {
      await sign(password);
    } catch (error) {
      setProblem(sentenceOf(error));
      setBusy(false);
    }
  };
  const field: ReactNode = (
    <TextField
      label="Your password"
      type="password"
      autoComplete="current-password"
      value={password}
      problem={problem}
      onChange={(e) => setPassword(e.target.value)}
    />
  );
  return { field, submit, busy, ready: !busy && password !== '' };
}

/** The password again and the button that signs what the dialog shows. */
export function SignForm({ onSign }: { onSign: (password: string) => Promise<void> }) {
  const { field, submit, busy, ready } = useSigning(onSign);
  return (
    <form
      className="sign-form"
      onSubmit={(event) => {
        event.preventDefault();
        void submit();
      }}
    >
      {field}
      <Button type="submit" look="main" disabled={!ready}>
        {busy ? 'Signing …' : 'Sign now'}
      </Button>
    </form>
  );
}

/** The text of an addendum, signed by the password. */
export function AddendumForm({ onSign }: { onSign: (text: string, password: string) => Promise<void> }) {
  const [text, setText] = useState('');
  const { field, submit, ready } = useSigning((password) => onSign(text, password));
  return (
    <form
      className="stack"
      onSubmit={(event) => {
        event.preventDefault();
        void submit();
      }}
    >
      <TextArea
        label="What is added"
        rows={4}
        maxLength={4000}
        value={text}
        onChange={(e) => setText(e.target.value)}
      />
      {field}
      <p className="row">
        <Button type="submit" look="main" disabled={!ready || text.trim() === ''}>
          Sign the addendum
        </Button>
      </p>
    </form>
  );
}
