import type { PatientPage as PatientPageData } from '@chordae/contract';
import { useQuery, useQueryClient } from '@tanstack/react-query';
import { Link, useParams } from '@tanstack/react-router';
import { call } from '../../host/api';
import { maySend, practicesOf, useMe } from '../../host/session';
import { useTitle } from '../../host/title';
import { PageOff } from '../../kit/failed';
import { CautionLine, Loading, Notice } from '../../kit/notice';
import { sayDay, today } from '../../kit/time';
import { ageOn, sayPatient } from '../say-patient';
import { FactsPart } from './facts-part';
import { HistoryPart } from './history-part';
import { KeeperPart } from './keeper-part';
import { MergePart } from './merge-part';
import { WeightsPart } from './weights-part';
import '../../styles/practice.css';

/** One patient: who it is, what it weighed, and all that happened. */
export function PatientPage() {
  const { practiceId, patientId } = useParams({
    from: '/members/in-shell/p/$practiceId/patients/$patientId',
  });
  const { data, error, refetch } = useQuery({
    queryKey: ['patient-page', practiceId, patientId],
    queryFn: ({ signal }) => call('getPatientPage', { params: { practiceId, patientId }, signal }),
  });
  useTitle(data ? data.patient.name : 'Patient');
  if (error && !data) return <PageOff title="This patient cannot be shown" error={error} again={refetch} />;
  return (
    <div className="page">
      {!data ? <Loading what="the patient" /> : null}
      {data ? <OfPatient key={data.patient.id} data={data} /> : null}
    </div>
  );
}

function OfPatient({ data }: { data: PatientPageData }) {
  const { patient } = data;
  const practice = practicesOf(useMe()).find((p) => p.id === patient.practiceId);
  const mayEdit = practice !== undefined && maySend(practice);
  const client = useQueryClient();
  const reread = () => client.invalidateQueries({ queryKey: ['patient-page', patient.practiceId] });
  const weight = patient.weights[0] ?? null;
  const newest = data.timeline.find((e) => e.kind === 'scan' || e.kind === 'rescan');
  return (
    <>
      <div>
        <p className="hint">
          <Link to="/p/$practiceId/patients" params={{ practiceId: patient.practiceId }}>
            Patients
          </Link>
          {practice ? ` of ${practice.name}` : ''}
        </p>
        <h1>
          {patient.name} <span className="hint">number {patient.number}</span>
        </h1>
        <p>{sayPatient({ ...patient, weight, ageMonths: ageOn(patient.birthDate, today()) })}</p>
      </div>
      {data.askedFor ? (
        <Notice>
          {data.askedFor.name}, number {data.askedFor.number}, was merged into this patient.
        </Notice>
      ) : null}
      {newest?.referralId ? (
        <p className="row">
          <Link
            to="/p/$practiceId/r/$referralId/over-time"
            params={{ practiceId: patient.practiceId, referralId: newest.referralId }}
          >
            Indices over time
          </Link>
          <span className="hint">last scanned {sayDay(newest.day)}</span>
        </p>
      ) : null}
      <HistoryPart practiceId={patient.practiceId} entries={data.timeline} />
      <WeightsPart patient={patient} mayEdit={mayEdit} reread={reread} />
      <FactsPart patient={patient} mayEdit={mayEdit} reread={reread} />
      <KeeperPart patient={patient} keeper={data.keeper} mayEdit={mayEdit} reread={reread} />
      <MergePart data={data} mayEdit={mayEdit} reread={reread} />
      <CautionLine />
    </>
  );
}
