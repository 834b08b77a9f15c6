import type { CaseView } from '@chordae/contract';
import { interpret } from '@chordae/interpretation';
import { sayChecksShort } from '@chordae/words';
import { useQueryClient } from '@tanstack/react-query';
import { useNavigate, useParams } from '@tanstack/react-router';
import { useEffect, useState } from 'react';
import { call } from '../../host/api';
import { rowOf, useWaitingSend } from '../../host/device';
import { lastWhere } from '../../host/last-where';
import { maySend, practicesOf, useMe } from '../../host/session';
import { useTitle } from '../../host/title';
import { unfinished } from '../../host/uploads/upload-state';
import { useCase, useRereadCase } from '../../host/use-case';
import { usePatchQueue } from '../../host/use-patch-queue';
import { uuidv7 } from '../../host/uuid';
import { AsOf } from '../../kit/as-of';
import { Button } from '../../kit/button';
import { EngineNewsNotice } from '../../kit/engine-news';
import { PageOff } from '../../kit/failed';
import { Loading } from '../../kit/notice';
import { PageKeys, type PartKey, type PressKey } from '../../kit/page-keys';
import { Conflicts, SavedState } from '../../kit/saved';
import { today } from '../../kit/time';
import { sayCase } from '../say-case';
import '../../styles/sheet.css';
import { CaseHeld } from '../device/case-held';
import { nameOfField } from '../field-names';
import { usePendingSignature } from '../report/pending-signature';
import { RoundLine } from '../rounds/round-line';
import { ActNowFoot } from './act-now-foot';
import { AnswerBar } from './answer-bar';
import { AskDialog } from './ask-dialog';
import { liveInput } from './case-input';
import { sayRivals } from './cell-rivals';
import { ClipsPart } from './clips-part';
import { CompanionPart } from './companion-part';
import { CompletenessPart } from './completeness-part';
import { MeasurementsPart } from './measurements-part';
import { OpinionPart } from './opinion-part';
import { OutcomePart, TeachingLink } from './outcome-part';
import { PatientPart } from './patient-part';
import { QuestionPart } from './question-part';
import { SaysColumn } from './says-column';
import { ScanReportPart, WriteReportLink } from './scan-report-part';
import { SendDialog } from './send-dialog';
import { SendingWaits } from './sending-waits';
import { SignsPart } from './signs-part';
import { StatePart } from './state-part';
import { InterimPart, StatusPart } from './status-part';
import { ThreadPart } from './thread-part';
import { useAnswers } from './use-answers';
import { useCells } from './use-cells';
import { useUploads } from './use-uploads';
import { WishPart } from './wish-part';

export function SheetPage() {
  const place = useParams({ from: '/members/in-shell/p/$practiceId/r/$referralId' });
  const { data, error, refetch } = useCase(place);
  const me = useMe();
  const go = useNavigate();
  const reader = data?.side === 'group';
  useEffect(() => {
    if (reader) void go({ to: '/desk/$practiceId/$referralId', params: place, replace: true });
  }, [reader]);
  useTitle(data ? data.patient.name : 'Referral');
  if (error && !data) return <PageOff title="This case cannot be shown" error={error} again={refetch} />;
  if (!data || reader) {
    return (
      <div className="page">
        <Loading what="the referral" />
      </div>
    );
  }
  const mayAct = practicesOf(me).some((p) => p.id === place.practiceId && maySend(p));
  return <Sheet key={place.referralId} c={data} mayAct={mayAct} />;
}

/** Parts of the sheet by a letter of their names; those that a browser keeps for itself are left out. */
const SHEET_PARTS: readonly PartKey[] = [
  { letter: 'P', name: 'Patient', id: 'p-patient' },
  { letter: 'W', name: 'How the patient is', id: 'p-signs' },
  { letter: 'Q', name: 'Question', id: 'p-question' },
  { letter: 'C', name: 'Clips', id: 'p-clips' },
  { letter: 'M', name: 'Measurements', id: 'p-measure' },
  { letter: 'O', name: 'Companion findings', id: 'p-companion' },
  { letter: 'A', name: 'State at the scan', id: 'p-state' },
];
const TO_ROUND: PressKey = { chord: 'Alt R', does: 'Back to the round of the day' };
const READ_PRESSES: readonly PressKey[] = [TO_ROUND];
const SEND_PRESSES: readonly PressKey[] = [{ chord: 'Ctrl Enter', does: 'Look over and send' }, TO_ROUND];
const SCAN_PRESSES: readonly PressKey[] = [{ chord: 'Ctrl Enter', does: 'On to the scan report' }, TO_ROUND];

/** The sender's whole work on one referral. */
function Sheet({ c, mayAct }: { c: CaseView; mayAct: boolean }) {
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  const reread = useRereadCase(place);
  const client = useQueryClient();
  const scan = c.scans.at(-1);
  // What waits to be sent stays as it was looked over; it can be taken back.
  const asked = useWaitingSend(place.referralId) !== null;
  const unsent = mayAct && c.referral.state === 'draft' && !asked;
  // Nor does what was signed change before the server has the signature.
  const pending = usePendingSignature(place.referralId);
  const editing = unsent && (!pending || pending.refused !== null);
  const adding = mayAct && ['draft', 'sent', 'reading', 'images-wanted'].includes(c.referral.state);
  const measuring = editing || (mayAct && c.referral.state === 'images-wanted');
  const referral = usePatchQueue(
    c.referral.revision,
    (patch) => call('patchReferral', { params: place, body: patch }),
    reread,
    rowOf.referral(place.referralId),
  );
  const state = usePatchQueue(
    scan?.revision ?? 1,
    (patch) =>
      call('patchScan', { params: { practiceId: place.practiceId, scanId: scan?.id ?? '' }, body: patch }),
    reread,
    rowOf.scan(scan?.id ?? ''),
  );
  const scanState = { ...scan?.state, ...(state.own['state'] as Partial<NonNullable<typeof scan>['state']>) };
  const answers = useAnswers(c);
  const cells = useCells(c);
  const items = useUploads(place);
  const [sending, setSending] = useState<'ask' | 'send' | null>(null);
  const sent = async () => {
    await reread();
    await client.invalidateQueries({ queryKey: ['referrals'] });
    setSending(null);
    window.scrollTo({ top: 0 });
  };
  const input = liveInput(c, {
    measurements: cells.live,
    answers: answers.own,
    referral: referral.own,
    state: (state.own['state'] ?? {}) as Partial<NonNullable<typeof scan>['state']>,
  });
  const result = interpret(input);
  // The opinion has the word then; the flags stay in their column.
  const answered = ['answered', 'closed', 'withdrawn'].includes(c.referral.state);
  // Its bar at the foot of a phone gives way to that of the answer.
  const unreadInterim = mayAct && c.interims.some((i) => i.readBackAt === null) && !editing && !measuring;
  // An answer given ahead has done its work once it was read and the opinion stands.
  const interimLeads = c.opinions.length === 0 || c.interims.some((i) => i.readBackAt === null);
  const actNow = result.flags.filter((f) => f.level === 'act-now');
  const wish = lastWhere(c.wishes, (w) => w.answeredAt === null);
  const scanIdFor = async (): Promise<string> => {
    if (!wish) return scan?.id ?? '';
    // Ids begin with their time: a scan younger than the wish is the rescan.
    const again = c.scans.find((s) => s.id > wish.id);
    if (again) return again.id;
    const scanId = uuidv7();
    await call('putScan', { params: { ...place, scanId }, body: { scannedOn: today() } });
    await reread();
    return scanId;
  };
  const flush = async () => {
    (document.activeElement as HTMLElement | null)?.blur?.();
    await Promise.all([referral.queue.settle(), state.queue.settle(), cells.settle(), answers.settle()]);
    const torn = sayRivals(c.measurements);
    if (torn) throw new Error(torn);
  };
  return (
    <div className="sheet">
      <header className="sheet-head">
        <div>
          <h1>{c.patient.name}</h1>
          <p className="hint">{sayCase(c.referral)}</p>
          <AsOf route="getCase" params={place} />
        </div>
        {editing ? <SavedState views={[referral, state]} caseId={place.referralId} /> : null}
      </header>
      <div className="sheet-main">
        <RoundLine place={place} />
        <CaseHeld caseId={place.referralId} patientId={c.patient.id} />
        <SendingWaits c={c} result={result} />
        {c.referral.state === 'draft' ? null : <StatusPart c={c} mayAct={mayAct} />}
        <EngineNewsNotice news={c.engineNews} />
        {interimLeads ? <InterimPart c={c} mayAct={mayAct} /> : null}
        <OpinionPart c={c} mayAct={mayAct} />
        {interimLeads ? null : <InterimPart c={c} mayAct={mayAct} />}
        <ScanReportPart c={c} />
        <OutcomePart c={c} mayAct={mayAct} />
        <TeachingLink c={c} />
        <ThreadPart c={c} mayAct={mayAct} />
        <WishPart c={c} mayAct={mayAct} stillSending={unfinished(items).length + c.arriving} />
        <Conflicts
          conflicts={[...referral.conflicts, ...state.conflicts]}
          nameOf={nameOfField}
          onResolve={(field, keep) => {
            referral.queue.resolve(field, keep);
            state.queue.resolve(field, keep);
          }}
        />
        <PatientPart
          c={c}
          items={items}
          editing={editing}
          onDate={(scannedOn) => state.queue.set({ scannedOn })}
          onHeartRate={(text) => {
            cells.type('heart-rate', 1, text);
            setTimeout(
              () => document.querySelector<HTMLInputElement>('[aria-label="heart rate"]')?.focus(),
              0,
            );
          }}
        />
        <SignsPart c={c} answers={answers} result={result} editing={editing} />
        <QuestionPart
          c={c}
          own={referral.own}
          result={result}
          editing={editing}
          onChange={(f) => referral.queue.set(f)}
        />
        <ClipsPart
          c={c}
          items={items}
          editing={adding}
          held={result.completeness.againHeld !== null}
          scanIdFor={adding ? scanIdFor : null}
        />
        <CompletenessPart
          result={result}
          species={c.patient.species}
          notPossible={scanState.notPossible ?? {}}
          onNotPossible={
            editing ? (notPossible) => state.queue.set({ state: { ...scanState, notPossible } }) : null
          }
        />
        <MeasurementsPart c={c} cells={cells} editing={measuring} />
        <CompanionPart c={c} cells={cells} answers={answers} editing={measuring} />
        {scan ? (
          <StatePart
            scan={scan}
            own={state.own}
            editing={editing}
            onChange={(fields) => state.queue.set(fields)}
          />
        ) : null}
        {c.referral.state === 'draft' ? <StatusPart c={c} mayAct={mayAct} /> : null}
        {editing && c.referral.groupId !== null ? <WriteReportLink c={c} flush={flush} /> : null}
        <PageKeys
          parts={SHEET_PARTS}
          presses={editing ? (c.referral.groupId === null ? SCAN_PRESSES : SEND_PRESSES) : READ_PRESSES}
        />
      </div>
      <SaysColumn c={c} input={input} result={result} />
      <AnswerBar c={c} mayAct={mayAct} />
      {answered ? null : (
        <footer className={unreadInterim ? 'sheet-foot sheet-foot-yields' : 'sheet-foot'}>
          {actNow.length > 0 ? (
            <ActNowFoot flags={actNow} c={c} />
          ) : (
            <p className="sheet-sum">
              <span className="sheet-sum-text">{sayChecksShort(result.flags.length, result.checks)}</span>{' '}
              <a href="#says">All that this says</a>
            </p>
          )}
          {unsent && c.referral.groupId === null ? (
            <span className="sheet-foot-two">
              <Button onClick={() => setSending('ask')}>Ask a cardiologist …</Button>
              <WriteReportLink c={c} flush={flush} main />
            </span>
          ) : unsent ? (
            <Button look="main" data-key="Ctrl Enter" keyHint="Ctrl Enter" onClick={() => setSending('send')}>
              Send …
            </Button>
          ) : null}
        </footer>
      )}
      {sending === 'ask' ? (
        <AskDialog c={c} result={result} flush={flush} onClose={() => setSending(null)} onSent={sent} />
      ) : sending === 'send' ? (
        <SendDialog place={place} flush={flush} onClose={() => setSending(null)} onSent={sent} />
      ) : null}
    </div>
  );
}
