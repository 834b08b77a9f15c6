import type { CaseView, FirstFrame } from '@chordae/contract';
import { capital, viewNames } from '@chordae/words';
import { useState } from 'react';
import { pathOf } from '../../host/api';
import { Button } from '../../kit/button';
import { Dialog } from '../../kit/dialog';

const titleOf = (frame: FirstFrame) => (frame.view ? capital(viewNames[frame.view]) : 'View not named');

/** First pictures of clips that are still on their way: to be looked at, never measured; each goes when its clip is there. */
export function ArrivingStills({ c }: { c: CaseView }) {
  const [opened, setOpened] = useState<string | null>(null);
  const open = c.firstFrames.find((f) => f.arrivalId === opened);
  if (c.firstFrames.length === 0) return null;
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  const url = (frame: FirstFrame) => pathOf('firstFrame', { ...place, arrivalId: frame.arrivalId });
  return (
    <section
      className={c.clips.length === 0 ? 'stills stills-alone' : 'stills'}
      aria-label="Clips still arriving"
    >
      <p className="hint">
        First pictures only: {c.firstFrames.length === 1 ? 'this clip is' : 'these clips are'} still arriving.
        They are small, and partly black where a name may stand. Nothing is measured on them.
      </p>
      <ul>
        {c.firstFrames.map((frame) => (
          <li key={frame.arrivalId}>
            <button
              type="button"
              className="still-small"
              aria-label={`Show the first picture of a clip still arriving: ${titleOf(frame)}`}
              onClick={() => setOpened(frame.arrivalId)}
            >
              <img src={url(frame)} alt="" width={frame.widthPx} height={frame.heightPx} />
              <span>{titleOf(frame)}</span>
              <b>clip still arriving</b>
            </button>
          </li>
        ))}
      </ul>
      {open ? (
        <Dialog title={`${titleOf(open)}: clip still arriving`} wide onClose={() => setOpened(null)}>
          <img
            className="still-large"
            src={url(open)}
            alt={`First picture of a clip: ${titleOf(open)}`}
            width={open.widthPx}
            height={open.heightPx}
          />
          <p className="hint">
            One picture tells little of a beating heart: wait for the clip before concluding.
          </p>
          <p className="row">
            <Button onClick={() => setOpened(null)}>Back to the desk</Button>
          </p>
        </Dialog>
      ) : null}
    </section>
  );
}
