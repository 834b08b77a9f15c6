import type { CaseView, SignedOpinion } from '@chordae/contract';
import { keeperParts } from '@chordae/report';
import { TO_BE_CHECKED } from '@chordae/words';
import { useState } from 'react';
import { call, pathOf, sentenceOf } from '../../host/api';
import { useRereadCase } from '../../host/use-case';
import { Button } from '../../kit/button';
import { Notice, Problem } from '../../kit/notice';
import { sayMoment } from '../../kit/time';

/** The plain page for the keeper: read by the vet here, released or not, and only then on paper. */
export function KeeperPart({ c, o, mayAct }: { c: CaseView; o: SignedOpinion; mayAct: boolean }) {
  const params = { practiceId: c.referral.practiceId, referralId: c.referral.id, signedId: o.id };
  const reread = useRereadCase(params);
  const [problem, setProblem] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  if (o.kind === 'addendum' || o.text.keeperPage.trim() === '') return null;
  const released = o.keeperReleasedAt;
  const addedLater =
    released !== null && c.opinions.some((a) => a.kind === 'addendum' && a.signedAt > released);
  const release = () => {
    setBusy(true);
    setProblem(null);
    call('releaseKeeperPage', { params, body: {} })
      .then(reread)
      .catch((error: unknown) => setProblem(sentenceOf(error)))
      .finally(() => setBusy(false));
  };
  return (
    <section className="keeper stack" aria-labelledby={`keeper-${o.id}`}>
      <h3 id={`keeper-${o.id}`}>Page for the keeper</h3>
      <p>
        {released
          ? `Released by ${o.keeperReleasedBy ?? 'the practice'}, ${sayMoment(released)}.`
          : 'Nobody outside has it. Read it; release it if it is right for this keeper.'}
      </p>
      {addedLater ? (
        <Notice level="look">
          An addendum was signed after this page was released. The page says so now; tell the keeper what it
          changes.
        </Notice>
      ) : null}
      {!released && o.text.keeperPage.includes(TO_BE_CHECKED) ? (
        <Notice level="look">
          It began as a text made by the machine and still carries that mark: check each line. Releasing it
          takes the mark off.
        </Notice>
      ) : null}
      <details className="keeper-text" open={released === null}>
        <summary>What it says</summary>
        <div className="paper keeper-paper" role="document" aria-label="The page for the keeper" tabIndex={0}>
          <KeeperText text={o.text.keeperPage} />
        </div>
      </details>
      {problem ? <Problem>{problem}</Problem> : null}
      <p className="row">
        {released === null && mayAct ? (
          <Button look="main" disabled={busy} onClick={release}>
            {busy ? 'Releasing …' : 'Release this page'}
          </Button>
        ) : null}
        {released !== null || c.side === 'group' ? (
          <a
            className="button button-plain"
            href={pathOf('keeperPagePdf', params)}
            target="_blank"
            rel="noreferrer"
          >
            {released === null ? 'Look at the page (PDF)' : 'Open the page (PDF)'}
          </a>
        ) : null}
      </p>
    </section>
  );
}

function KeeperText({ text }: { text: string }) {
  return keeperParts(text).map((part, at) => {
    const key = `${part.kind}-${at}`;
    if (part.kind === 'points')
      return (
        <ul key={key}>
          {part.points.map((point) => (
            <li key={point}>{point}</li>
          ))}
        </ul>
      );
    return part.kind === 'paragraph' ? <p key={key}>{part.text}</p> : null;
  });
}
