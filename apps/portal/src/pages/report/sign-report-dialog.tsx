import type { CaseView, Flag } from '@chordae/contract';
import { REPORT_CAUTION_LINE, REPORT_SIGNING } from '@chordae/words';
import { useQueryClient } from '@tanstack/react-query';
import { useMemo, useRef } from 'react';
import { call, pathOf } from '../../host/api';
import { practicesOf, useMe } from '../../host/session';
import { useRereadCase } from '../../host/use-case';
import { usePaper } from '../../host/use-paper';
import { uuidv7 } from '../../host/uuid';
import { Dialog } from '../../kit/dialog';
import { Loading, Notice, Problem } from '../../kit/notice';
import { PaperPages } from '../../kit/paper-pages';
import { AddendumForm, SignForm } from '../../kit/sign-form';
import { flagsOpen, passedUp } from './flag-answers';
import { localPages } from './local-pages';
import { reportToSign } from './report-to-sign';
import { type ReportWriting, wordsOf } from './use-report-writing';

/** Shows the paper as it will be and asks for the password; what is sent is the whole text as it stands here. */
export function SignReportDialog({
  c,
  writing,
  flags,
  numbersHash,
  onClose,
}: {
  c: CaseView;
  writing: ReportWriting;
  flags: readonly Flag[];
  /** Hash of the numbers that the page shows. */
  numbersHash: string;
  onClose: () => void;
}) {
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  const reread = useRereadCase(place);
  const client = useQueryClient();
  const signedId = useRef(uuidv7());
  const sign = async (password: string) => {
    const draftRevision = await writing.settle();
    await call('signReport', {
      params: place,
      body: {
        ...reportToSign({
          c,
          fields: wordsOf(writing.shown),
          draftRevision,
          numbersHash,
          signedId: signedId.current,
          now: new Date(),
        }),
        password,
      },
    });
    await reread();
    await client.invalidateQueries({ queryKey: ['referrals'] });
    onClose();
  };
  return (
    <Dialog title="Sign the scan report" onClose={onClose} wide>
      <p>
        For {c.patient.name} of {c.referral.practiceName}. {REPORT_SIGNING}
      </p>
      <BeforeSigning c={c} writing={writing} flags={flags} />
      <SignForm onSign={sign} />
      <p className="caution">{REPORT_CAUTION_LINE}</p>
      <Preview c={c} writing={writing} />
    </Dialog>
  );
}

/** The paper from the server; without a network as this device makes it, and said so. */
function Preview({ c, writing }: { c: CaseView; writing: ReportWriting }) {
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  const { blocks, problem } = usePaper(pathOf('previewReport', place), writing.settle);
  const me = useMe();
  const practice = practicesOf(me).find((p) => p.id === place.practiceId);
  const local = useMemo(
    () =>
      problem === null
        ? null
        : localPages(
            c,
            wordsOf(writing.shown),
            {
              name: me?.member.name ?? '',
              role: practice?.roles.includes('sonographer') ? 'sonographer' : 'referring-vet',
              demo: practice?.demo ?? false,
            },
            practice?.paper ?? { lines: [], footer: '' },
            new Date().toISOString(),
          ),
    [problem, c, writing.shown],
  );
  return (
    <section className="stack-tight" aria-labelledby="report-preview">
      <div className="preview-head">
        <h3 id="report-preview">As it will be printed</h3>
        <a href={pathOf('previewReport', place)} target="_blank" rel="noreferrer">
          Open as PDF
        </a>
      </div>
      {problem ? <Problem>{problem}</Problem> : null}
      {!blocks && !problem ? <Loading what="the pages" /> : null}
      {local ? (
        <p className="hint">As this device makes it now, by the letterhead that it last saw.</p>
      ) : null}
      {(blocks ?? local) ? (
        <PaperPages c={c} blocks={blocks ?? local ?? []} label="The scan report as it will be printed" />
      ) : null}
    </section>
  );
}

/** What would be refused, or what one may have overlooked. */
function BeforeSigning({
  c,
  writing,
  flags,
}: {
  c: CaseView;
  writing: ReportWriting;
  flags: readonly Flag[];
}) {
  const { shown } = writing;
  const open = flagsOpen(flags, shown).length;
  const up = passedUp(shown).length;
  const found = Object.values(shown.findings);
  const empty = found.filter((f) => f.state === 'described' && f.text.trim() === '').length;
  const hidden = shown.keyFrames.filter((k) =>
    c.clips.some((clip) => clip.id === k.clipId && clip.mask === 'needs-decision'),
  ).length;
  return (
    <>
      {open > 0 ? (
        <Notice level="look">
          {open} act-now {open === 1 ? 'flag has' : 'flags have'} no answer yet: say first what you make of{' '}
          {open === 1 ? 'it' : 'them'}.
        </Notice>
      ) : null}
      {up > 0 ? (
        <Notice level="look">
          You pass {up === 1 ? 'one flag' : `${up} flags`} up. Signing asks nobody: send the scan to a
          cardiologist afterwards, and telephone what cannot wait.
        </Notice>
      ) : null}
      {shown.conclusion.trim() === '' ? (
        <Notice level="look">There is no conclusion yet: a report cannot be signed without one.</Notice>
      ) : null}
      {c.patient.weight === null ? (
        <Notice level="look">No weight was given: nothing that rests on it was computed.</Notice>
      ) : c.patient.weight.guessed ? (
        <Notice level="look">The weight is guessed: every size for weight rests on it.</Notice>
      ) : null}
      {empty > 0 ? (
        <Notice level="look">
          {empty === 1 ? '1 structure is' : `${empty} structures are`} described without words.
        </Notice>
      ) : null}
      {hidden > 0 ? (
        <Notice level="look">
          {hidden === 1 ? 'One key frame comes' : `${hidden} key frames come`} from a clip that may show a
          name: no picture of it is printed until that is decided on the sheet.
        </Notice>
      ) : null}
      {c.arriving > 0 ? (
        <Notice level="note">
          {c.arriving} {c.arriving === 1 ? 'file is' : 'files are'} still on the way. What comes after signing
          stays with the scan.
        </Notice>
      ) : null}
    </>
  );
}

export function ReportAddendumDialog({ c, onClose }: { c: CaseView; onClose: () => void }) {
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  const reread = useRereadCase(place);
  const signedId = useRef(uuidv7());
  const sign = async (text: string, password: string) => {
    await call('signReportAddendum', {
      params: place,
      body: { signedId: signedId.current, text, deviceSignedAt: new Date().toISOString(), password },
    });
    await reread();
    onClose();
  };
  return (
    <Dialog title="Addendum to the scan report" onClose={onClose}>
      <AddendumForm onSign={sign} />
    </Dialog>
  );
}
