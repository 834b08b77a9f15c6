import type { CaseView, KeyFrame, OpinionText } from '@chordae/contract';
import { clipTitle } from '../../pages/clip-title';
import { Button } from '../button';
import { FramePicture } from '../frame-picture';
import { PhraseArea } from './phrase-area';
import { changeKeyFrame, MOST_KEY_FRAMES, moveKeyFrame, removeKeyFrame } from './text-edits';

type Frames = Pick<OpinionText, 'keyFrames'>;
type Change = (make: (now: Frames) => Partial<Frames>) => void;
interface Props {
  readonly c: CaseView;
  readonly draft: Frames;
  readonly change: Change;
  /** Where frames come from, said while there is none. */
  readonly from?: string;
}

/** Frames that are printed, in their order. */
export function KeyFrames({
  c,
  draft,
  change,
  from = 'None yet. They come from the stage, with what is drawn on them.',
}: Props) {
  const frames = draft.keyFrames;
  return (
    <section className="stack-tight" aria-labelledby="key-frames">
      <h3 id="key-frames">Key frames</h3>
      {frames.length === 0 ? <p className="hint">{from}</p> : null}
      <ol className="frame-list">
        {frames.map((frame, at) => (
          <li key={frame.id}>
            <KeyFrameRow c={c} frame={frame} at={at} last={frames.length - 1} change={change} />
          </li>
        ))}
      </ol>
      {frames.length === MOST_KEY_FRAMES ? (
        <p className="hint">{MOST_KEY_FRAMES} is the most: take one out before another is added.</p>
      ) : null}
    </section>
  );
}

function KeyFrameRow({
  c,
  frame,
  at,
  last,
  change,
}: {
  c: CaseView;
  frame: KeyFrame;
  at: number;
  last: number;
  change: Change;
}) {
  const title = `${clipTitle(c, frame.clipId)}, frame ${frame.frame + 1}`;
  return (
    <div className="frame-row">
      <FramePicture c={c} clipId={frame.clipId} frame={frame.frame} drawings={frame.drawings} label={title} />
      <div className="stack-tight">
        <p className="hint">{title}</p>
        <PhraseArea
          label={`Caption of key frame ${at + 1}`}
          place={null}
          maxLength={200}
          value={frame.caption}
          onChange={(caption) => change((now) => changeKeyFrame(now, frame.id, { caption }))}
        />
        <p className="row">
          <Button
            look="quiet"
            disabled={at === 0}
            aria-label={`Key frame ${at + 1}: earlier`}
            onClick={() => change((now) => moveKeyFrame(now, frame.id, -1))}
          >
            Earlier
          </Button>
          <Button
            look="quiet"
            disabled={at === last}
            aria-label={`Key frame ${at + 1}: later`}
            onClick={() => change((now) => moveKeyFrame(now, frame.id, 1))}
          >
            Later
          </Button>
          <Button
            look="quiet"
            aria-label={`Key frame ${at + 1}: take out`}
            onClick={() => change((now) => removeKeyFrame(now, frame.id))}
          >
            Take out
          </Button>
        </p>
      </div>
    </div>
  );
}
