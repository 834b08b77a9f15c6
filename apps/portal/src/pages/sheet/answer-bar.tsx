import type { CaseView } from '@chordae/contract';
import { useState } from 'react';
import { call, pathOf, sentenceOf } from '../../host/api';
import { lastWhere } from '../../host/last-where';
import { useRereadCase } from '../../host/use-case';
import { Button } from '../../kit/button';
import { Problem } from '../../kit/notice';

/** Opens the question to the readers and puts the cursor into it. */
function openThread(): void {
  const part = document.getElementById('p-thread')?.closest('section');
  const details = part?.querySelector('details');
  if (details) details.open = true;
  const text = part?.querySelector('textarea');
  (text ?? part)?.scrollIntoView({ block: 'center' });
  text?.focus({ preventScroll: true });
}

function openKeeperPart(signedId: string): void {
  document.getElementById(`keeper-${signedId}`)?.scrollIntoView({ block: 'start' });
}

/** What is done with an answer, in one thumb's reach on a phone: say that it was read or call, ask, print, the keeper's page. */
export function AnswerBar({ c, mayAct }: { c: CaseView; mayAct: boolean }) {
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  const reread = useRereadCase(place);
  const [problem, setProblem] = useState<string | null>(null);
  const unread = mayAct ? lastWhere(c.interims, (i) => i.readBackAt === null) : null;
  const opinion = lastWhere(c.opinions, (o) => o.kind === 'opinion');
  if (!unread && !opinion) return null;
  const phone = c.agreement?.groupPhone ?? null;
  const pdfOf = (signedId: string) => pathOf('opinionPdf', { ...place, signedId });
  const read = (interimId: string) => {
    setProblem(null);
    call('readBack', { params: { ...place, interimId }, body: {} })
      .then(reread)
      .catch((error: unknown) => setProblem(sentenceOf(error)));
  };
  return (
    <nav className="answer-bar" aria-label="What to do with the answer">
      {problem ? <Problem>{problem}</Problem> : null}
      <ul>
        {unread ? (
          <li>
            <Button look="main" onClick={() => read(unread.id)}>
              I have read this
            </Button>
          </li>
        ) : null}
        {phone ? (
          <li>
            <a className="button button-plain" href={`tel:${phone.replace(/\s/g, '')}`}>
              Call
            </a>
          </li>
        ) : null}
        {mayAct && c.referral.state !== 'withdrawn' ? (
          <li>
            <Button onClick={openThread}>Ask</Button>
          </li>
        ) : null}
        {opinion?.pdfSha256 ? (
          <li>
            <a className="button button-plain" href={pdfOf(opinion.id)} target="_blank" rel="noreferrer">
              Print
            </a>
          </li>
        ) : null}
        {opinion && opinion.text.keeperPage.trim() !== '' ? (
          <li>
            {opinion.keeperReleasedAt === null ? (
              <Button onClick={() => openKeeperPart(opinion.id)}>Keeper</Button>
            ) : (
              <a
                className="button button-plain"
                href={pathOf('keeperPagePdf', { ...place, signedId: opinion.id })}
                target="_blank"
                rel="noreferrer"
              >
                Keeper
              </a>
            )}
          </li>
        ) : null}
      </ul>
    </nav>
  );
}
