import type { ViewId } from '@chordae/contract';
import type { BodyKind } from '@chordae/figure';
import type { ExampleId } from '@chordae/words';
import { capital, EXAMPLE_MARK, exampleWords, viewNames } from '@chordae/words';
import { useEffect, useState, useSyncExternalStore } from 'react';
import { NO_FRAMES } from '../../host/clips/clip-frames';
import { ExampleFrames } from '../../host/clips/example-frames';
import { FramesPlayer } from '../../kit/clip-player';
import { drawnAs, examplesOf } from './examples';

/** Moving examples of a view, drawn in this browser when one is asked for; a changed heart stands beside the normal one. */
export function ViewExamples({ view, kind }: { view: ViewId; kind: BodyKind }) {
  const [chosen, setChosen] = useState<ExampleId | null>(null);
  const examples = examplesOf(view, kind);
  const shown: readonly ExampleId[] = chosen === null || chosen === 'normal' ? [] : [chosen];
  return (
    <section className="guide-motion" aria-labelledby="in-motion">
      <h2 id="in-motion">In motion</h2>
      <p className="hint">
        Drawn by this device when asked for; nothing is downloaded. {EXAMPLE_MARK}: it shows what to look at,
        not what every patient looks like.
      </p>
      <div className="segments" role="group" aria-label="Moving example">
        {examples.map((example) => (
          <button
            key={example}
            type="button"
            aria-pressed={chosen === example}
            onClick={() => setChosen((now) => (now === example ? null : example))}
          >
            {exampleWords(view, example).name}
          </button>
        ))}
      </div>
      {chosen === null ? null : (
        <div className="guide-pictures">
          {(['normal', ...shown] as const).map((example) => (
            <Example key={example} view={view} kind={kind} example={example} />
          ))}
        </div>
      )}
    </section>
  );
}

const none = () => () => undefined;
const empty = () => NO_FRAMES;

function Example({ view, kind, example }: { view: ViewId; kind: BodyKind; example: ExampleId }) {
  const [frames, setFrames] = useState<ExampleFrames | null>(null);
  useEffect(() => {
    const made = new ExampleFrames(view, kind, drawnAs[example]);
    setFrames(made);
    return () => made.close();
  }, [view, kind, example]);
  const seen = useSyncExternalStore(frames?.subscribe ?? none, frames?.read ?? empty);
  const { name, look } = exampleWords(view, example);
  return (
    <div className="guide-example">
      <p className="guide-example-name">
        <b>{name}</b> <span className="hint">{EXAMPLE_MARK}</span>
      </p>
      <FramesPlayer
        frames={frames}
        view={seen}
        label={`${EXAMPLE_MARK}. ${capital(viewNames[view])}, ${name.toLowerCase()}. ${look}`}
        over={
          seen.frameCount === 0 && !seen.problem ? (
            <p className="guide-drawing" role="status">
              Drawing it, a few seconds
            </p>
          ) : null
        }
      />
      <p>{look}</p>
    </div>
  );
}
