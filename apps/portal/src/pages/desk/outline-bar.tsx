import { toolWords } from '@chordae/words';
import { Button } from '../../kit/button';
import type { Session } from './canvas/session';
import type { DeskKeys } from './desk-keys';
import { showKey } from './desk-keys';
import { sayNextPut } from './measure-bar';

/** Correcting the outline of a short axis: kept as what a person says about the frame, no measurement. */
export function OutlineBar({
  session,
  keys,
  problem,
  onKeep,
  onStep,
}: {
  session: Session;
  keys: DeskKeys;
  problem: string | null;
  onKeep: () => void;
  onStep: (kind: 'undo' | 'redo' | 'cancel') => void;
}) {
  const done = session.state.name === 'editing';
  return (
    <form
      className="stage-bar measure"
      id="measure-bar"
      aria-label={toolWords.cavity.name}
      onSubmit={(event) => {
        event.preventDefault();
        onKeep();
      }}
    >
      <b className="measure-tool">{toolWords.cavity.name}</b>
      <span className="measure-next">
        {done ? 'Pull the line where it leaves the inner edge, or draw it anew.' : sayNextPut(session)}
      </span>
      <Button type="submit" look="main" keyHint={showKey(keys.keep)} disabled={!done}>
        Keep this outline
      </Button>
      <Button look="quiet" keyHint={showKey(keys.undo)} onClick={() => onStep('undo')}>
        Back
      </Button>
      <Button look="quiet" keyHint={showKey(keys.redo)} onClick={() => onStep('redo')}>
        Forth
      </Button>
      <Button look="quiet" keyHint={showKey(keys['let-go'])} onClick={() => onStep('cancel')}>
        Let go
      </Button>
      {problem ? (
        <p className="problem" role="alert">
          {problem}
        </p>
      ) : null}
    </form>
  );
}
