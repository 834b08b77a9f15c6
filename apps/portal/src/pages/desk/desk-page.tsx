import type { CaseView, Interpretation } from '@chordae/contract';
import { interpret } from '@chordae/interpretation';
import { sayFlag } from '@chordae/words';
import { useQueryClient } from '@tanstack/react-query';
import { Link, useNavigate, useParams } from '@tanstack/react-router';
import { startTransition, useCallback, useEffect, useMemo, useRef, useState } from 'react';
import { flushSync } from 'react-dom';
import { lastWhere } from '../../host/last-where';
import { startLive } from '../../host/live';
import { useMe } from '../../host/session';
import { useTitle } from '../../host/title';
import { useCase } from '../../host/use-case';
import { Button } from '../../kit/button';
import { FramesProvider } from '../../kit/frame-link';
import { Loading, Problem } from '../../kit/notice';
import { Thread } from '../../kit/thread';
import { liveInput } from '../sheet/case-input';
import '../../styles/sheet.css';
import '../../styles/desk.css';
import { CasePanel } from './case-panel';
import { DeskHead } from './desk-head';
import { actionOf, type DeskActionId, type DeskKeys, showKey } from './desk-keys';
import { NumbersPanel } from './numbers-panel';
import { OpinionTab } from './opinion-tab';
import { showFrame } from './show-frame';
import { Stage } from './stage';
import { useOwnKeys } from './use-own-keys';
import { WhileReading } from './while-reading';

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

type Tab = 'case' | 'numbers' | 'opinion' | 'questions';
const TABS: readonly (readonly [Tab, string])[] = [
  ['case', 'Case'],
  ['numbers', 'Numbers'],
  ['opinion', 'Opinion'],
  ['questions', 'Questions'],
];

function Desk({ c }: { c: CaseView }) {
  const me = useMe();
  const [tab, setTabNow] = useState<Tab>(c.opinions.length > 0 ? 'opinion' : 'case');
  // The pictures come first: the panel is drawn between them, or at once when somebody goes to it.
  const [panelDue, setPanelDue] = useState(false);
  useEffect(() => startTransition(() => setPanelDue(true)), []);
  const setTab = useCallback((next: Tab) => {
    setPanelDue(true);
    setTabNow(next);
  }, []);
  const open = c.referral.state === 'reading' || c.referral.state === 'images-wanted';
  const mayWrite = open && c.reader?.memberId === me?.member.id;
  // Computed here from the same facts as on the server, so that a correction is seen at once.
  const input = useMemo(
    () => liveInput(c, { measurements: new Map(), answers: new Map(), referral: {}, state: {} }),
    [c],
  );
  const result = useMemo(() => interpret(input), [input]);
  const blind = c.secondRead !== null && c.secondRead.signedAt === null;
  const frames = useMemo(
    () => ({ measurements: c.measurements, clips: c.clips, show: showFrame }),
    [c.measurements, c.clips],
  );
  const keys = useOwnKeys();
  useDeskKeys(setTab, keys);
  // Who writes keeps the panel with all that is typed, and frames of the stage can come into it from every tab.
  const writes = mayWrite && c.draft !== null;
  return (
    <FramesProvider value={frames}>
      <DeskHead c={c} mayWrite={mayWrite} keys={keys} />
      <ActNow c={c} result={result} onOpen={() => setTab('numbers')} />
      <main className="desk-body" id="page">
        <Stage c={c} mayWrite={mayWrite} keys={keys} />
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
                {id === 'questions' && c.thread.length > 0 ? ` (${c.thread.length})` : ''}
                <kbd aria-hidden="true" className="key">
                  {showKey(keys[`tab-${id}`])}
                </kbd>
              </button>
            ))}
          </div>
          <div className="panel-body" role="tabpanel" id="panel" aria-labelledby={`tab-${tab}`} tabIndex={0}>
            {panelDue ? (
              <>
                <WhileReading c={c} />
                {tab === 'case' ? <CasePanel c={c} result={result} mayWrite={mayWrite} /> : null}
                {tab === 'numbers' ? (
                  <NumbersPanel c={c} input={input} result={result} mayWrite={mayWrite} />
                ) : null}
                {tab === 'opinion' || writes ? (
                  <div hidden={tab !== 'opinion'}>
                    <OpinionTab c={c} mayWrite={mayWrite} />
                  </div>
                ) : null}
                {tab === 'questions' ? (
                  <Thread c={c} mayWrite={c.referral.state !== 'withdrawn' && !blind} />
                ) : null}
              </>
            ) : null}
          </div>
        </section>
      </main>
    </FramesProvider>
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

/** What the buttons of the head do. */
const HEAD_ACTIONS: ReadonlySet<DeskActionId> = new Set([
  'take',
  'interim',
  'rescan',
  'hand-over',
  'put-back',
]);

/** Keys of the whole desk; those of the clips are with the stage. */
function useDeskKeys(setTab: (tab: Tab) => void, keys: DeskKeys) {
  const now = useRef(keys);
  now.current = keys;
  useEffect(() => {
    const onKey = (event: KeyboardEvent) => {
      const target = event.target as HTMLElement;
      if (target.closest('dialog') || event.ctrlKey || event.metaKey || event.altKey) return;
      if (target.matches('input, textarea, select')) {
        if (event.key === 'Escape') document.getElementById('panel')?.focus();
        return;
      }
      const action = actionOf(event, now.current);
      const tab = TABS.find(([id]) => action === `tab-${id}`)?.[0];
      if (tab) {
        // Drawn at once: the next key, however soon, is already for the panel.
        flushSync(() => setTab(tab));
        const panel = document.getElementById('panel');
        // Where one comes to write, the next letters are text: beside it each of them would be a key.
        const text = tab === 'opinion' || tab === 'questions' ? panel?.querySelector('textarea') : null;
        (text ?? panel)?.focus();
      } else if (action !== null && HEAD_ACTIONS.has(action))
        document.querySelector<HTMLButtonElement>(`.desk-head [data-action="${action}"]`)?.click();
      else return;
      event.preventDefault();
    };
    window.addEventListener('keydown', onKey);
    return () => window.removeEventListener('keydown', onKey);
  }, [setTab]);
}
