import type { CaseView } from '@chordae/contract';
import { useRef, useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { useRereadCase } from '../../host/use-case';
import { uuidv7 } from '../../host/uuid';
import { Button } from '../../kit/button';
import { Dialog } from '../../kit/dialog';
import { TextArea, TextField } from '../../kit/field';
import { Notice } from '../../kit/notice';

/** Signing asks for the password again; afterwards the text never changes. */
export function SignDialog({
  c,
  settle,
  onClose,
}: {
  c: CaseView;
  /** Saves the rest and gives the draft's revision as seen here. */
  settle: () => Promise<number>;
  onClose: () => void;
}) {
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  const reread = useRereadCase(place);
  const signedId = useRef(uuidv7());
  const [password, setPassword] = useState('');
  const [problem, setProblem] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  const unanswered = (c.interpretation?.flags ?? []).filter(
    (f) => f.level === 'act-now' && !c.flagAnswers.some((a) => a.flagKey === f.key),
  ).length;
  const sign = async () => {
    setBusy(true);
    setProblem(null);
    try {
      const draftRevision = await settle();
      const now = await call('getCase', { params: place });
      await call('signOpinion', {
        params: place,
        body: {
          base: now.referral.revision,
          draftRevision,
          inputHash: c.interpretation?.inputHash ?? null,
          signedId: signedId.current,
          password,
        },
      });
      await reread();
      onClose();
    } catch (error) {
      setProblem(sentenceOf(error));
      setBusy(false);
    }
  };
  return (
    <Dialog title="Sign the opinion" onClose={onClose}>
      <p>
        For {c.patient.name}, referral {c.referral.number} of {c.referral.practiceName}. After signing only an
        addendum can follow.
      </p>
      {unanswered > 0 ? (
        <Notice level="look">
          {unanswered} act-now {unanswered === 1 ? 'flag has' : 'flags have'} no answer yet: keep or set aside
          under ‘Numbers’ first.
        </Notice>
      ) : null}
      <form
        className="stack"
        onSubmit={(event) => {
          event.preventDefault();
          void sign();
        }}
      >
        <TextField
          label="Your password"
          type="password"
          autoComplete="current-password"
          value={password}
          problem={problem}
          onChange={(e) => setPassword(e.target.value)}
        />
        <p className="row">
          <Button type="submit" look="main" disabled={busy || password === ''}>
            {busy ? 'Signing …' : 'Sign now'}
          </Button>
        </p>
      </form>
    </Dialog>
  );
}

export function AddendumDialog({ c, onClose }: { c: CaseView; onClose: () => void }) {
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  const reread = useRereadCase(place);
  const signedId = useRef(uuidv7());
  const [text, setText] = useState('');
  const [password, setPassword] = useState('');
  const [problem, setProblem] = useState<string | null>(null);
  const sign = async () => {
    try {
      await call('signAddendum', { params: place, body: { signedId: signedId.current, text, password } });
      await reread();
      onClose();
    } catch (error) {
      setProblem(sentenceOf(error));
    }
  };
  return (
    <Dialog title="Addendum" onClose={onClose}>
      <form
        className="stack"
        onSubmit={(event) => {
          event.preventDefault();
          void sign();
        }}
      >
        <TextArea label="What is added" rows={4} value={text} onChange={(e) => setText(e.target.value)} />
        <TextField
          label="Your password"
          type="password"
          autoComplete="current-password"
          value={password}
          problem={problem}
          onChange={(e) => setPassword(e.target.value)}
        />
        <p className="row">
          <Button type="submit" look="main" disabled={text.trim() === '' || password === ''}>
            Sign the addendum
          </Button>
        </p>
      </form>
    </Dialog>
  );
}
