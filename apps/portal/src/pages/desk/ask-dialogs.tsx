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

export interface AskProps {
  readonly c: CaseView;
  readonly onClose: () => void;
}

/** Runs one request from a dialog: its sentence when it fails, else the dialog closes. */
export function useAsk({ c, onClose }: AskProps) {
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

export function InterimDialog(props: AskProps) {
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

export function PutBackDialog(props: AskProps) {
  const { place, ask, problem } = useAsk(props);
  return (
    <ReasonDialog
      title="Put back into the queue"
      says="What you wrote is kept. Somebody else can take it."
      button="Put it back"
      problem={problem}
      onClose={props.onClose}
      onReason={(reason) =>
        ask(() => call('putBack', { params: place, body: { base: props.c.referral.revision, reason } }))
      }
    />
  );
}

/** What somebody else has open, with all that is written. */
export function TakeOverDialog(props: AskProps) {
  const { place, ask, problem } = useAsk(props);
  const { c } = props;
  return (
    <ReasonDialog
      title="Take over"
      says={`${c.reader?.name} reads it now and will be told that you have it. You go on with everything that was written and measured.`}
      button="Take it over"
      problem={problem}
      onClose={props.onClose}
      onReason={(reason) =>
        ask(() => call('takeOver', { params: place, body: { base: c.referral.revision, reason } }))
      }
    />
  );
}

/** A step that needs nothing but its reason. */
function ReasonDialog({
  title,
  says,
  button,
  problem,
  onClose,
  onReason,
}: {
  title: string;
  says: string;
  button: string;
  problem: string | null;
  onClose: () => void;
  onReason: (reason: string) => void;
}) {
  const [reason, setReason] = useState('');
  return (
    <Dialog title={title} onClose={onClose}>
      <p>{says}</p>
      <TextArea
        label="Reason"
        rows={2}
        value={reason}
        problem={problem}
        onChange={(e) => setReason(e.target.value)}
      />
      <p className="row">
        <Button look="main" disabled={reason.trim() === ''} onClick={() => onReason(reason)}>
          {button}
        </Button>
      </p>
    </Dialog>
  );
}

export function WishDialog(props: AskProps) {
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
