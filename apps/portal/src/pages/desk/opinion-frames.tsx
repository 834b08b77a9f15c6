import type { CaseView, ClipFeedback, OpinionDraft, OpinionText } from '@chordae/contract';
import { useState } from 'react';
import { Button } from '../../kit/button';
import { SelectField } from '../../kit/field';
import { FramePicture } from '../../kit/frame-picture';
import { PhraseArea } from '../../kit/writing/phrase-area';
import { noteClip, removeNote } from '../../kit/writing/text-edits';
import { clipTitle } from '../clip-title';
import { focusLastText } from './focus-last-text';

type Change = (make: (now: OpinionDraft) => Partial<OpinionText>) => void;
interface Props {
  readonly c: CaseView;
  readonly draft: OpinionDraft;
  readonly change: Change;
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
