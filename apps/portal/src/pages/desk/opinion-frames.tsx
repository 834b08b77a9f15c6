import type { CaseView, ClipFeedback, KeyFrame, OpinionDraft, OpinionText } from '@chordae/contract';
import { useState } from 'react';
import { Button } from '../../kit/button';
import { SelectField } from '../../kit/field';
import { FramePicture } from '../../kit/frame-picture';
import { clipTitle } from '../clip-title';
import { focusLastText } from './focus-last-text';
import {
  changeKeyFrame,
  MOST_KEY_FRAMES,
  moveKeyFrame,
  noteClip,
  removeKeyFrame,
  removeNote,
} from './opinion-edits';
import { PhraseArea } from './opinion-phrases';

type Change = (make: (now: OpinionDraft) => Partial<OpinionText>) => void;
interface Props {
  readonly c: CaseView;
  readonly draft: OpinionDraft;
  readonly change: Change;
}

/** Frames that are printed, in their order. */
export function KeyFrames({ c, draft, change }: Props) {
  const frames = draft.keyFrames;
  return (
    <section className="stack-tight" aria-labelledby="key-frames">
      <h3 id="key-frames">Key frames</h3>
      {frames.length === 0 ? (
        <p className="hint">None yet. They come from the stage, with what is drawn on them.</p>
      ) : null}
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

/** A kind sentence on how single clips were scanned. */
export function ClipNotes({ c, draft, change }: Props) {
  const free = c.clips.filter((k) => !draft.clipFeedback.some((f) => f.clipId === k.id));
  const [chosen, setChosen] = useState('');
  const next = free.some((k) => k.id === chosen) ? chosen : (free[0]?.id ?? '');
  return (
    <section className="stack-tight" aria-labelledby="clip-notes">
      <h3 id="clip-notes">On single clips</h3>
      {draft.clipFeedback.map((note) => (
        <ClipNote key={note.clipId} c={c} note={note} change={change} />
      ))}
      {free.length > 0 ? (
        <div className="row row-end">
          <SelectField
            label="Clip"
            value={next}
            choices={free.map((k) => [k.id, clipTitle(c, k.id)] as const)}
            onChange={(e) => setChosen(e.target.value)}
          />
          <Button
            onClick={(event) => {
              const section = event.currentTarget.closest('section');
              change((now) => noteClip(now, next));
              focusLastText(section);
            }}
          >
            Add a note
          </Button>
        </div>
      ) : null}
    </section>
  );
}

function ClipNote({ c, note, change }: { c: CaseView; note: ClipFeedback; change: Change }) {
  const title = clipTitle(c, note.clipId);
  return (
    <div className="clip-note">
      {note.frame === null ? null : (
        <FramePicture
          c={c}
          clipId={note.clipId}
          frame={note.frame}
          drawings={note.drawings}
          label={`${title}, frame ${note.frame + 1}`}
        />
      )}
      <PhraseArea
        label={title}
        place="technique"
        rows={2}
        maxLength={400}
        value={note.text}
        onChange={(text) => change((now) => noteClip(now, note.clipId, { text }))}
      />
      <p className="row">
        {note.frame === null ? null : (
          <Button
            look="quiet"
            aria-label={`${title}: without the frame`}
            onClick={() => change((now) => noteClip(now, note.clipId, { frame: null, drawings: [] }))}
          >
            Without the frame
          </Button>
        )}
        <Button
          look="quiet"
          aria-label={`${title}: remove the note`}
          onClick={() => change((now) => removeNote(now, note.clipId))}
        >
          Remove
        </Button>
      </p>
    </div>
  );
}
