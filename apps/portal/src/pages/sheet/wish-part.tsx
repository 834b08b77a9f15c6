import type { CaseView } from '@chordae/contract';
import { capital, viewGuides, viewNames } from '@chordae/words';
import { useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { useRereadCase } from '../../host/use-case';
import { Button } from '../../kit/button';
import { TextArea } from '../../kit/field';
import { Problem } from '../../kit/notice';
import { sayMoment } from '../../kit/time';
import { ViewSketch } from '../../kit/view-drawing';

/** What the reader asks to be scanned again, how to get it, and the answer. */
export function WishPart({
  c,
  stillSending,
  mayAct,
}: {
  c: CaseView;
  stillSending: number;
  mayAct: boolean;
}) {
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  const reread = useRereadCase(place);
  const [note, setNote] = useState('');
  const [problem, setProblem] = useState<string | null>(null);
  if (c.wishes.length === 0) return null;
  const sent = (wishId: string) =>
    call('imagesSent', { params: place, body: { base: c.referral.revision, wishId, note } })
      .then(reread)
      .catch((error: unknown) => {
        setProblem(sentenceOf(error));
        void reread();
      });
  return (
    <section className="part" aria-labelledby="p-wish">
      <h2 id="p-wish">To scan again</h2>
      {c.wishes.map((wish) => (
        <div key={wish.id} className="stack">
          <p className="hint">
            {wish.askedBy}, {sayMoment(wish.at)}
            {wish.answeredAt ? ` · answered ${sayMoment(wish.answeredAt)}` : ''}
          </p>
          {wish.text ? <p className="answer-text">{wish.text}</p> : null}
          <ul className="wish-views">
            {wish.views.map(({ view, how }) => (
              <li key={view}>
                <ViewSketch view={view} state="missing" />
                <div>
                  <p>
                    <b>{capital(viewNames[view])}</b>
                  </p>
                  {how ? <p>{how}</p> : null}
                  {how === viewGuides[view].how ? null : <p className="hint">{viewGuides[view].how}</p>}
                  <p className="hint">Must be seen: {viewGuides[view].see}</p>
                </div>
              </li>
            ))}
          </ul>
          {mayAct && c.referral.state === 'images-wanted' && !wish.answeredAt ? (
            <>
              <p className="hint">
                Drop the new clips under ‘Clips’ below, name their views, then say that they are in.
              </p>
              <TextArea
                label="Note to the reader"
                rows={2}
                value={note}
                onChange={(e) => setNote(e.target.value)}
              />
              <p className="row">
                <Button look="main" disabled={stillSending > 0} onClick={() => void sent(wish.id)}>
                  The images are sent
                </Button>
                {stillSending > 0 ? <span className="hint">{stillSending} still on the way</span> : null}
              </p>
            </>
          ) : null}
        </div>
      ))}
      {problem ? <Problem>{problem}</Problem> : null}
    </section>
  );
}
