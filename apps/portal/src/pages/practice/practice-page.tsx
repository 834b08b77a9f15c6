import type { Agreement, Organisation } from '@chordae/contract';
import { roleNames, sayOpeningHours, sayTargets } from '@chordae/words';
import { useQuery } from '@tanstack/react-query';
import { Link, useParams } from '@tanstack/react-router';
import { call } from '../../host/api';
import { maySend, practicesOf, useMe } from '../../host/session';
import { useTitle } from '../../host/title';
import { Failed } from '../../kit/failed';
import { Loading, Notice, Problem } from '../../kit/notice';
import { today } from '../../kit/time';
import { LeftWorkPart } from './left-work-part';
import { MachineKeysPart } from './machine-keys-part';
import { PapersPart } from './papers-part';
import { PeoplePart } from './people-part';
import { PracticeChoice } from './practice-choice';
import '../../styles/practice.css';

/** One practice: its papers, its people, who reads for it, and what was done there. */
export function PracticePage() {
  const { practiceId } = useParams({ from: '/members/in-shell/p/$practiceId/practice' });
  const practice = practicesOf(useMe()).find((p) => p.id === practiceId);
  useTitle(practice?.name ?? 'Practice');
  return (
    <div className="page">
      <h1>{practice?.name ?? 'Practice'}</h1>
      <PracticeChoice practiceId={practiceId} to="/p/$practiceId/practice" />
      {practice ? (
        <OfPractice key={practiceId} practice={practice} />
      ) : (
        <Problem>You do not belong to this practice, so it is not shown.</Problem>
      )}
    </div>
  );
}

function OfPractice({ practice }: { practice: Organisation }) {
  const { data, error, refetch } = useQuery({
    queryKey: ['practice-page', practice.id],
    queryFn: ({ signal }) => call('getPracticePage', { params: { practiceId: practice.id }, signal }),
  });
  if (error && !data) return <Failed error={error} again={refetch} />;
  if (!data) return <Loading what="the practice" />;
  const manages = practice.roles.includes('manager');
  const month = today().slice(0, 7);
  return (
    <>
      {data.demo ? <Notice>Demonstration data: nothing here is real.</Notice> : null}
      <p className="row">
        {manages ? (
          <Link to="/account/$month" params={{ month }} search={{ of: practice.id }}>
            Account of the month, by person
          </Link>
        ) : null}
        {maySend(practice) ? (
          <Link to="/account/$month" params={{ month }} search={{}}>
            Your own account of the month
          </Link>
        ) : null}
        {maySend(practice) ? <Link to="/learning">What readers made of your scans</Link> : null}
        <span className="hint">You are here as {practice.roles.map((r) => roleNames[r]).join(', ')}.</span>
      </p>
      <LeftWorkPart practiceId={practice.id} mayTake={maySend(practice)} />
      <PapersPart page={data} mayEdit={manages} />
      <PeoplePart page={data} mayEdit={manages} />
      {manages || practice.roles.includes('referring-vet') ? (
        <MachineKeysPart practiceId={practice.id} />
      ) : null}
      <section className="form-part" aria-labelledby="pr-agreements">
        <h2 id="pr-agreements">Who reads for this practice</h2>
        {data.agreements.length === 0 ? (
          <p className="empty">
            No agreement with a reading group yet: scans can be reported here, and cannot be sent.
          </p>
        ) : null}
        {data.agreements.map((a) => (
          <AgreementFacts key={a.id} agreement={a} />
        ))}
      </section>
    </>
  );
}

function AgreementFacts({ agreement: a }: { agreement: Agreement }) {
  return (
    <div className="agreement">
      <h3>{a.groupName}</h3>
      <dl className="facts">
        <dt>Answers</dt>
        <dd>{sayTargets(a.targetMinutes)}</dd>
        <dt>Reads</dt>
        <dd>
          {sayOpeningHours(a.openingHours)} <span className="hint">({a.zone})</span>
        </dd>
        <dt>Telephone</dt>
        <dd>
          {a.groupPhone ? (
            <a href={`tel:${a.groupPhone.replace(/[^+\d]/g, '')}`}>{a.groupPhone}</a>
          ) : (
            'not given'
          )}
        </dd>
        <dt>When nobody reads</dt>
        <dd>{a.emergencyContact || 'not given'}</dd>
      </dl>
    </div>
  );
}
