import type { CaseView, ViewId } from '@chordae/contract';
import { viewsOf } from '@chordae/interpretation';
import { capital, viewGuides, viewNames } from '@chordae/words';
import { useRef, useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { useRereadCase } from '../../host/use-case';
import { uuidv7 } from '../../host/uuid';
import { Button } from '../../kit/button';
import { Dialog } from '../../kit/dialog';
import { TextArea, Tick } from '../../kit/field';
import { viewsByKey } from '../sheet/view-namer';

interface Props {
  readonly c: CaseView;
  readonly onClose: () => void;
}

/** Runs one request from a dialog: its sentence when it fails, else the dialog closes. */
function useAsk({ c, onClose }: Props) {
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  const reread = useRereadCase(place);
  const [problem, setProblem] = useState<string | null>(null);
  const ask = (work: () => Promise<unknown>) => {
    setProblem(null);
    work()
      .then(reread)
      .then(onClose)
      .catch((error: unknown) => {
        setProblem(sentenceOf(error));
        void reread();
      });
  };
  return { place, ask, problem };
}

export function InterimDialog(props: Props) {
  const { place, ask, problem } = useAsk(props);
  const interimId = useRef(uuidv7());
  const [text, setText] = useState('');
  return (
    <Dialog title="Interim answer" onClose={props.onClose}>
      <p className="hint">
        Two lines that cannot wait for the opinion. They are signed with your name and mailed at once.
      </p>
      <TextArea
        label="To the practice"
        rows={2}
        maxLength={280}
        value={text}
        problem={problem}
        hint={`${280 - text.length} characters left`}
        onChange={(e) => setText(e.target.value)}
      />
      <p className="row">
        <Button
          look="main"
          disabled={text.trim() === ''}
          onClick={() =>
            ask(() =>
              call('putInterim', { params: { ...place, interimId: interimId.current }, body: { text } }),
            )
          }
        >
          Send the interim answer
        </Button>
      </p>
    </Dialog>
  );
}

export function PutBackDialog(props: Props) {
  const { place, ask, problem } = useAsk(props);
  const [reason, setReason] = useState('');
  return (
    <Dialog title="Put back into the queue" onClose={props.onClose}>
      <p>What you wrote is kept. Somebody else can take it.</p>
      <TextArea
        label="Reason"
        rows={2}
        value={reason}
        problem={problem}
        onChange={(e) => setReason(e.target.value)}
      />
      <p className="row">
        <Button
          look="main"
          disabled={reason.trim() === ''}
          onClick={() =>
            ask(() => call('putBack', { params: place, body: { base: props.c.referral.revision, reason } }))
          }
        >
          Put it back
        </Button>
      </p>
    </Dialog>
  );
}

export function WishDialog(props: Props) {
  const { c } = props;
  const { place, ask, problem } = useAsk(props);
  const wishId = useRef(uuidv7());
  const [text, setText] = useState('');
  const [hows, setHows] = useState<ReadonlyMap<ViewId, string>>(new Map());
  const planned = viewsOf(c.referral.plan).map((v) => v.view);
  const all = [...new Set([...planned, ...viewsByKey(c.referral.plan, c.patient.species).values()])].filter(
    (v) => v !== 'other',
  );
  const toggle = (view: ViewId, on: boolean) =>
    setHows((now) => {
      const next = new Map(now);
      if (on) next.set(view, viewGuides[view].how);
      else next.delete(view);
      return next;
    });
  const views = [...hows].map(([view, how]) => ({ view, how }));
  return (
    <Dialog title="Ask for a rescan" onClose={props.onClose} wide>
      <p className="hint">The clock stands still until the new clips come, except for an emergency.</p>
      <div className="ticks-grid">
        {all.map((view) => (
          <Tick
            key={view}
            label={capital(viewNames[view])}
            checked={hows.has(view)}
            onChange={(on) => toggle(view, on)}
          />
        ))}
      </div>
      {views.map(({ view, how }) => (
        <TextArea
          key={view}
          label={`How to get it: ${viewNames[view]}`}
          rows={2}
          maxLength={600}
          value={how}
          onChange={(e) => setHows((now) => new Map(now).set(view, e.target.value))}
        />
      ))}
      <TextArea
        label="In words"
        rows={2}
        value={text}
        problem={problem}
        onChange={(e) => setText(e.target.value)}
      />
      <p className="row">
        <Button
          look="main"
          disabled={views.length === 0 && text.trim() === ''}
          onClick={() =>
            ask(() =>
              call('putWish', {
                params: { ...place, wishId: wishId.current },
                body: { base: c.referral.revision, views, text },
              }),
            )
          }
        >
          Ask for these views
        </Button>
      </p>
    </Dialog>
  );
}
