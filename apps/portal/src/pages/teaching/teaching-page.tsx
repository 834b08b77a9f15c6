import type { CaseView, TeachingState } from '@chordae/contract';
import { CONSENT_MEANS, shelfKindNames } from '@chordae/words';
import { useQuery, useQueryClient } from '@tanstack/react-query';
import { Link, useParams } from '@tanstack/react-router';
import { useState } from 'react';
import { call, pathOf, sentenceOf } from '../../host/api';
import { maySend, practicesOf, useMe } from '../../host/session';
import { useTitle } from '../../host/title';
import { useCase } from '../../host/use-case';
import { Button } from '../../kit/button';
import { ClipPlayer } from '../../kit/clip-player';
import { Loading, Notice, Problem } from '../../kit/notice';
import { Time } from '../../kit/time';
import { clipTitle } from '../clip-title';
import { ShelfDialog } from './shelf-dialog';
import '../../styles/practice.css';
import '../../styles/sheet.css';

/** What of an answered case may be used for teaching, and what is: consent for the practice, the shelf for its readers. */
export function TeachingPage() {
  const place = useParams({ from: '/members/in-shell/p/$practiceId/r/$referralId/teaching' });
  const kase = useCase(place);
  const state = useQuery({
    queryKey: ['teaching', place.practiceId, place.referralId],
    queryFn: ({ signal }) => call('getTeaching', { params: place, signal }),
  });
  useTitle(kase.data ? `Teaching with ${kase.data.patient.name}` : 'Teaching');
  const error = kase.error ?? state.error;
  return (
    <div className="page">
      {error ? <Problem>{error.message}</Problem> : null}
      {kase.data && state.data ? (
        <OfCase c={kase.data} state={state.data} />
      ) : error ? null : (
        <Loading what="the case" />
      )}
    </div>
  );
}

function OfCase({ c, state }: { c: CaseView; state: TeachingState }) {
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  const practice = practicesOf(useMe()).find((p) => p.id === place.practiceId);
  const answered = ['answered', 'closed'].includes(c.referral.state);
  return (
    <>
      <div>
        <p className="hint">
          <Link
            to={c.side === 'group' ? '/desk/$practiceId/$referralId' : '/p/$practiceId/r/$referralId'}
            params={place}
          >
            Back to referral {c.referral.number}
          </Link>
        </p>
        <h1>Teaching with {c.patient.name}</h1>
      </div>
      {answered ? null : <Notice>A case can be given for teaching once it is answered.</Notice>}
      <Consent
        place={place}
        state={state}
        mayGive={answered && practice !== undefined && maySend(practice)}
        side={c.side}
      />
      {c.side === 'group' ? <Clips c={c} state={state} /> : <OnShelf state={state} />}
    </>
  );
}

function Consent({
  place,
  state,
  mayGive,
  side,
}: {
  place: { practiceId: string; referralId: string };
  state: TeachingState;
  mayGive: boolean;
  side: CaseView['side'];
}) {
  const [problem, setProblem] = useState<string | null>(null);
  const client = useQueryClient();
  const set = async (given: boolean) => {
    setProblem(null);
    try {
      const now = await call('putTeachingConsent', { params: place, body: { given } });
      client.setQueryData(['teaching', place.practiceId, place.referralId], now);
    } catch (error) {
      setProblem(sentenceOf(error));
    }
  };
  return (
    <section className="form-part" aria-labelledby="te-consent">
      <h2 id="te-consent">Consent of the practice</h2>
      {state.consent ? (
        <p role="status">
          Given by {state.consent.by}, <Time at={state.consent.at} />.
        </p>
      ) : (
        <p role="status">
          Not given.
          {side === 'group'
            ? ' Without it no clip of this case can go on the shelf; ask for it on the case.'
            : ''}
        </p>
      )}
      <ul className="account-rules">
        {CONSENT_MEANS.map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ul>
      {problem ? <Problem>{problem}</Problem> : null}
      {mayGive ? (
        <p className="row">
          {state.consent ? (
            <Button onClick={() => void set(false)}>Take the consent back</Button>
          ) : (
            <Button onClick={() => void set(true)}>Give consent to teaching</Button>
          )}
        </p>
      ) : null}
    </section>
  );
}

function OnShelf({ state }: { state: TeachingState }) {
  return (
    <section className="form-part" aria-labelledby="te-shelf">
      <h2 id="te-shelf">On the shelf</h2>
      {state.onShelf.length === 0 ? <p className="empty">No clip of this case is on the shelf.</p> : null}
      <ul className="plain-rows">
        {state.onShelf.map((clip) => (
          <li key={clip.id}>
            <p>{clip.title}</p>
            <p className="hint">{shelfKindNames[clip.kind]}</p>
          </li>
        ))}
      </ul>
    </section>
  );
}

function Clips({ c, state }: { c: CaseView; state: TeachingState }) {
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  const [adding, setAdding] = useState<CaseView['clips'][number] | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const client = useQueryClient();
  const reread = async () => {
    await client.invalidateQueries({ queryKey: ['teaching', place.practiceId, place.referralId] });
    await client.invalidateQueries({ queryKey: ['shelf'] });
  };
  const takeOff = (clip: TeachingState['onShelf'][number]) =>
    call('takeShelfClipOff', { params: { groupId: clip.groupId, teachingId: clip.id }, body: {} })
      .then(reread)
      .catch((error: unknown) => setProblem(sentenceOf(error)));
  return (
    <section className="form-part" aria-labelledby="te-clips">
      <h2 id="te-clips">Clips of this case</h2>
      {problem ? <Problem>{problem}</Problem> : null}
      <ul className="shelf">
        {c.clips.map((clip) => {
          const title = clipTitle(c, clip.id);
          const shelved = state.onShelf.filter((s) => s.clipId === clip.id);
          return (
            <li key={clip.id} className="shelf-clip">
              <ClipPlayer url={pathOf('clipPack', { ...place, clipId: clip.id })} label={title} />
              <p>{title}</p>
              {shelved.map((s) => (
                <p key={s.id} className="row">
                  <span className="hint">
                    On the shelf: {s.title} ({shelfKindNames[s.kind].toLowerCase()})
                  </span>
                  <Button onClick={() => void takeOff(s)} aria-label={`Take off the shelf: ${s.title}`}>
                    Take off
                  </Button>
                </p>
              ))}
              {state.consent && shelved.length === 0 ? (
                <p>
                  <Button onClick={() => setAdding(clip)} aria-label={`Put on the shelf: ${title}`}>
                    Put on the shelf
                  </Button>
                </p>
              ) : null}
            </li>
          );
        })}
      </ul>
      {adding && c.referral.groupId ? (
        <ShelfDialog
          groupId={c.referral.groupId}
          place={place}
          clip={adding}
          onClose={() => setAdding(null)}
          reread={reread}
        />
      ) : null}
    </section>
  );
}
