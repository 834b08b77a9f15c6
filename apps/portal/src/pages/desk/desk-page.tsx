import type { CaseView, Interpretation } from '@chordae/contract';
import { interpret } from '@chordae/interpretation';
import { capital, planNames, sayFlag, sayReferralState, urgencyNames } from '@chordae/words';
import { useQueryClient } from '@tanstack/react-query';
import { Link, useNavigate, useParams } from '@tanstack/react-router';
import { useEffect, useMemo, useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { lastWhere } from '../../host/last-where';
import { startLive } from '../../host/live';
import { useMe } from '../../host/session';
import { useTitle } from '../../host/title';
import { useCase, useRereadCase } from '../../host/use-case';
import { Button } from '../../kit/button';
import { Loading, Problem } from '../../kit/notice';
import { sayDue, sayMoment, useNow } from '../../kit/time';
import { sayPatientShort } from '../say-patient';
import { liveInput } from '../sheet/case-input';
import { OpinionPart } from '../sheet/opinion-part';
import '../../styles/sheet.css';
import '../../styles/desk.css';
import { InterimDialog, PutBackDialog, WishDialog } from './ask-dialogs';
import { CasePanel } from './case-panel';
import { NumbersPanel } from './numbers-panel';
import { OpinionPanel } from './opinion-panel';
import { AddendumDialog } from './sign-dialog';
import { Stage } from './stage';

export function DeskPage() {
  const place = useParams({ from: '/members/desk/$practiceId/$referralId' });
  const { data, error } = useCase(place);
  const me = useMe();
  const client = useQueryClient();
  const go = useNavigate();
  const sender = data?.side === 'practice';
  useEffect(() => (me ? startLive(client) : undefined), [me?.member.id, client]);
  useEffect(() => {
    if (sender) void go({ to: '/p/$practiceId/r/$referralId', params: place, replace: true });
  }, [sender]);
  useTitle(data ? `${data.patient.name}, desk` : 'Desk');
  return (
    <div className="desk">
      {error && !data ? (
        <div className="page">
          <Problem>{error.message}</Problem>
          <Link to="/queue">Back to the queue</Link>
        </div>
      ) : null}
      {data && !sender ? (
        <Desk key={place.referralId} c={data} />
      ) : error ? null : (
        <Loading what="the referral" />
      )}
    </div>
  );
}

type Tab = 'case' | 'numbers' | 'opinion';
const TABS: readonly (readonly [Tab, string])[] = [
  ['case', 'Case'],
  ['numbers', 'Numbers'],
  ['opinion', 'Opinion'],
];

function Desk({ c }: { c: CaseView }) {
  const me = useMe();
  const [tab, setTab] = useState<Tab>(c.opinions.length > 0 ? 'opinion' : 'case');
  const open = c.referral.state === 'reading' || c.referral.state === 'images-wanted';
  const mayWrite = open && c.reader?.memberId === me?.member.id;
  // Computed here from the same facts as on the server, so that a correction is seen at once.
  const input = useMemo(
    () => liveInput(c, { measurements: new Map(), answers: new Map(), referral: {}, state: {} }),
    [c],
  );
  const result = useMemo(() => interpret(input), [input]);
  useDeskKeys(setTab);
  return (
    <>
      <DeskHead c={c} mayWrite={mayWrite} />
      <ActNow c={c} result={result} onOpen={() => setTab('numbers')} />
      <main className="desk-body" id="page">
        <Stage c={c} mayWrite={mayWrite} />
        <section className="panel" aria-label="The case in words and numbers">
          <div className="tabs" role="tablist" aria-label="Panel">
            {TABS.map(([id, words]) => (
              <button
                key={id}
                type="button"
                role="tab"
                id={`tab-${id}`}
                aria-selected={tab === id}
                aria-controls="panel"
                onClick={() => setTab(id)}
              >
                {words}
                <kbd aria-hidden="true" className="key">
                  {words.charAt(0)}
                </kbd>
              </button>
            ))}
          </div>
          <div className="panel-body" role="tabpanel" id="panel" aria-labelledby={`tab-${tab}`} tabIndex={0}>
            {tab === 'case' ? <CasePanel c={c} result={result} /> : null}
            {tab === 'numbers' ? (
              <NumbersPanel c={c} input={input} result={result} mayWrite={mayWrite} />
            ) : null}
            {tab === 'opinion' ? <OpinionTab c={c} mayWrite={mayWrite} /> : null}
          </div>
        </section>
      </main>
    </>
  );
}

/** What cannot wait stands over everything, without a tab to be opened. A flag set aside with its reason is gone. */
function ActNow({ c, result, onOpen }: { c: CaseView; result: Interpretation; onOpen: () => void }) {
  const now = result.flags.filter(
    (f) =>
      f.level === 'act-now' && lastWhere(c.flagAnswers, (a) => a.flagKey === f.key)?.answer !== 'set-aside',
  );
  return (
    <div className="desk-now" role="region" aria-label="Act now">
      {now.length > 0 ? (
        <ul>
          {now.map((flag) => (
            <li key={flag.key}>
              <b>Act now:</b> {sayFlag(flag, { phone: c.agreement?.practicePhone ?? null }).sentence}
            </li>
          ))}
        </ul>
      ) : null}
      {now.length > 0 ? (
        <Button look="quiet" onClick={onOpen}>
          Reasons
        </Button>
      ) : null}
    </div>
  );
}

/** Keys of the whole desk; those of the clips are with the stage. */
function useDeskKeys(setTab: (tab: Tab) => void) {
  useEffect(() => {
    const onKey = (event: KeyboardEvent) => {
      const target = event.target as HTMLElement;
      if (target.closest('dialog') || event.ctrlKey || event.metaKey || event.altKey) return;
      if (target.matches('input, textarea, select')) {
        if (event.key === 'Escape') document.getElementById('panel')?.focus();
        return;
      }
      const key = event.key.toLowerCase();
      const tab = TABS.find(([id]) => id.startsWith(key))?.[0];
      if (tab) {
        setTab(tab);
        setTimeout(() => {
          const panel = document.getElementById('panel');
          const text = tab === 'opinion' ? panel?.querySelector('textarea') : null;
          (text ?? panel)?.focus();
        }, 0);
      } else if (key === 't' || key === 'i') {
        document.querySelector<HTMLButtonElement>(`.desk-head [data-key="${key}"]`)?.click();
      } else return;
      event.preventDefault();
    };
    window.addEventListener('keydown', onKey);
    return () => window.removeEventListener('keydown', onKey);
  }, [setTab]);
}

function OpinionTab({ c, mayWrite }: { c: CaseView; mayWrite: boolean }) {
  const [adding, setAdding] = useState(false);
  if (mayWrite && c.draft) return <OpinionPanel key={c.draft.id} c={c} draft={c.draft} />;
  const signed = c.opinions.length > 0;
  return (
    <div className="stack">
      <OpinionPart c={c} />
      {signed ? (
        <p className="row">
          <Button onClick={() => setAdding(true)}>Add an addendum</Button>
        </p>
      ) : (
        <p className="hint">
          {c.reader ? `${c.reader.name} writes the opinion.` : 'Take the referral to write the opinion.'}
        </p>
      )}
      {adding ? <AddendumDialog c={c} onClose={() => setAdding(false)} /> : null}
    </div>
  );
}

type Ask = 'interim' | 'wish' | 'put-back';

function DeskHead({ c, mayWrite }: { c: CaseView; mayWrite: boolean }) {
  const { referral: r } = c;
  const now = useNow();
  const place = { practiceId: r.practiceId, referralId: r.id };
  const reread = useRereadCase(place);
  const [asking, setAsking] = useState<Ask | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const take = () =>
    call('takeReferral', { params: place, body: { base: r.revision } })
      .then(reread)
      .catch((error: unknown) => {
        setProblem(sentenceOf(error));
        void reread();
      });
  const waiting = ['sent', 'reading', 'images-wanted'].includes(r.state);
  const close = () => setAsking(null);
  const unread = c.interims.filter((i) => i.readBackAt === null).length;
  return (
    <header className="desk-head">
      <Link to="/queue">Queue</Link>
      <div className="desk-who">
        <h1>{c.patient.name}</h1>
        <p className="hint">
          {sayPatientShort({ ...c.patient, weightKg: c.patient.weight?.weightKg ?? null })} · {r.practiceName}
          , referral {r.number} · {planNames[r.plan]}
        </p>
        <p className="hint">
          {r.urgency ? `${capital(urgencyNames[r.urgency])} · ` : ''}
          {sayReferralState(r.state).name}
          {waiting && r.dueAt ? ` · ${sayDue(r.dueAt, now)}` : ''}
          {c.reader ? ` · ${c.reader.name} reads` : ''}
          {c.interims.length > 0
            ? ` · interim answer ${unread === 0 ? 'read by the practice' : `sent ${sayMoment(c.interims.at(-1)?.at ?? '')}, not read yet`}`
            : ''}
        </p>
        {problem ? <Problem>{problem}</Problem> : null}
      </div>
      <div className="row">
        {r.state === 'sent' ? (
          <Button look="main" data-key="t" keyHint="T" onClick={() => void take()}>
            Take
          </Button>
        ) : null}
        {waiting ? (
          <Button data-key="i" keyHint="I" onClick={() => setAsking('interim')}>
            Interim answer
          </Button>
        ) : null}
        {mayWrite && r.state === 'reading' ? (
          <Button onClick={() => setAsking('wish')}>Ask for a rescan</Button>
        ) : null}
        {mayWrite ? (
          <Button look="quiet" onClick={() => setAsking('put-back')}>
            Put back
          </Button>
        ) : null}
      </div>
      {asking === 'interim' ? <InterimDialog c={c} onClose={close} /> : null}
      {asking === 'wish' ? <WishDialog c={c} onClose={close} /> : null}
      {asking === 'put-back' ? <PutBackDialog c={c} onClose={close} /> : null}
    </header>
  );
}
