import type { PatientRecord, ScanPlanId } from '@chordae/contract';
import { useQuery } from '@tanstack/react-query';
import { useNavigate } from '@tanstack/react-router';
import type { FormEvent } from 'react';
import { useRef, useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { maySend, practicesOf, useMe } from '../../host/session';
import { useTitle } from '../../host/title';
import { uuidv7 } from '../../host/uuid';
import { Button } from '../../kit/button';
import { NoPractice } from '../../kit/failed';
import { Choices, SelectField, TextField } from '../../kit/field';
import { focusFirstProblem } from '../../kit/first-problem';
import { Problem } from '../../kit/notice';
import { today } from '../../kit/time';
import { sayPatientShort } from '../say-patient';
import { PatientFields } from './patient-fields';
import type { PatientForm, PatientProblems } from './patient-form';
import { EMPTY_PATIENT, readPatient } from './patient-form';
import { PlanChoice } from './plan-choice';

/** No reading group: who scans reports on it, and may ask a cardiologist later. */
const NOBODY = 'nobody';

/** A new referral: practice, patient, question, readers; then on to the sheet. */
export function NewReferralPage() {
  useTitle('New referral');
  const me = useMe();
  const practices = practicesOf(me).filter(maySend);
  const [practiceId, setPracticeId] = useState<string | null>(
    practices.length === 1 ? (practices[0]?.id ?? null) : null,
  );
  const groups = (me?.agreements ?? []).filter((a) => a.practiceId === practiceId);
  const [chosenGroup, setChosenGroup] = useState<string | null>(null);
  const only = groups.length === 1 ? (groups[0]?.groupId ?? null) : null;
  const reader = chosenGroup ?? only;
  const groupId = reader === NOBODY ? null : reader;
  const [known, setKnown] = useState<PatientRecord | null>(null);
  const [form, setForm] = useState<PatientForm>(EMPTY_PATIENT);
  const [problems, setProblems] = useState<PatientProblems>({});
  const [plan, setPlan] = useState<ScanPlanId | null>(null);
  const [noPlan, setNoPlan] = useState(false);
  const formRef = useRef<HTMLFormElement>(null);
  const [scannedOn, setScannedOn] = useState(today());
  const [problem, setProblem] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  // Made once: repeating a lost request then changes nothing.
  const ids = useRef({ patient: uuidv7(), weight: uuidv7(), referral: uuidv7(), scan: uuidv7() });
  const go = useNavigate();
  const open = async () => {
    setProblem(null);
    const read = known ? null : readPatient(form, new Date());
    setProblems(read && !read.ok ? read.problems : {});
    if (!practiceId) return setProblem('Choose the practice.');
    setNoPlan(!plan);
    if (!plan || (read && !read.ok)) return focusFirstProblem(formRef.current);
    if (!reader) return setProblem('Choose who shall read it, or that you report on it yourself.');
    const { patient, weight, referral, scan } = ids.current;
    const patientId = known?.id ?? patient;
    if (read?.ok) {
      await call('putPatient', { params: { practiceId, patientId }, body: read.value.patient });
      if (read.value.weight) {
        await call('putWeight', {
          params: { practiceId, patientId, weightId: weight },
          body: { ...read.value.weight, weighedOn: scannedOn },
        });
      }
    }
    await call('putReferral', {
      params: { practiceId, referralId: referral },
      body: { patientId, groupId, plan, scanId: scan, scannedOn },
    });
    await go({ to: '/p/$practiceId/r/$referralId', params: { practiceId, referralId: referral } });
  };
  const submit = (event: FormEvent) => {
    event.preventDefault();
    setBusy(true);
    open()
      .catch((error: unknown) => setProblem(sentenceOf(error)))
      .finally(() => setBusy(false));
  };
  if (practices.length === 0)
    return (
      <div className="page">
        <h1>New referral</h1>
        <NoPractice />
      </div>
    );
  return (
    <form ref={formRef} className="page" onSubmit={submit} noValidate>
      <h1>New referral</h1>
      {practices.length > 1 ? (
        <Choices
          label="Practice"
          choices={practices.map((p) => [p.id, p.name] as const)}
          value={practiceId}
          onChoose={(id) => {
            setPracticeId(id);
            setKnown(null);
            setChosenGroup(null);
          }}
        />
      ) : null}
      {practiceId ? (
        <section className="form-part" aria-labelledby="new-patient">
          <h2 id="new-patient">Patient</h2>
          <FindPatient practiceId={practiceId} known={known} onChoose={setKnown} />
          {known ? null : (
            <PatientFields
              form={form}
              problems={problems}
              onChange={(part) => setForm((f) => ({ ...f, ...part }))}
            />
          )}
        </section>
      ) : null}
      <section className="form-part" aria-labelledby="new-question">
        <h2 id="new-question">Question</h2>
        <PlanChoice
          plan={plan}
          species={known?.species ?? form.species}
          problem={noPlan && !plan ? 'Choose the question: it decides what is wanted.' : null}
          onChoose={setPlan}
        />
        <div className="form-grid">
          <TextField
            label="Scanned on"
            type="date"
            value={scannedOn}
            max={today()}
            onChange={(e) => setScannedOn(e.target.value)}
          />
          {practiceId ? (
            <SelectField
              label="Read by"
              choices={[
                ...(reader === null ? [['', 'choose'] as const] : []),
                ...groups.map((g) => [g.groupId, g.groupName] as const),
                [NOBODY, 'nobody yet: a scan report of my own'],
              ]}
              value={reader ?? ''}
              onChange={(e) => setChosenGroup(e.target.value || null)}
            />
          ) : null}
        </div>
        {practiceId && groups.length === 0 ? (
          <p className="hint">This practice has no agreement with a reading group yet.</p>
        ) : null}
      </section>
      {problem ? <Problem>{problem}</Problem> : null}
      <p className="row">
        <Button type="submit" look="main" disabled={busy}>
          {busy ? 'Opening …' : 'Open the sheet'}
        </Button>
        <span className="hint">Nothing is sent yet. The clips come next.</span>
      </p>
    </form>
  );
}

function FindPatient({
  practiceId,
  known,
  onChoose,
}: {
  practiceId: string;
  known: PatientRecord | null;
  onChoose: (patient: PatientRecord | null) => void;
}) {
  const [find, setFind] = useState('');
  const wanted = find.trim();
  const { data } = useQuery({
    queryKey: ['patients', practiceId, wanted],
    queryFn: () => call('listPatients', { params: { practiceId }, query: { find: wanted } }),
    enabled: wanted.length > 1 && known === null,
  });
  const line = (p: PatientRecord) => sayPatientShort({ ...p, weightKg: p.weights[0]?.weightKg ?? null });
  if (known) {
    return (
      <p className="row">
        <span>
          <b>{known.name}</b>, {line(known)}
        </span>
        <Button onClick={() => onChoose(null)}>Another patient</Button>
      </p>
    );
  }
  return (
    <>
      <TextField
        label="Find a patient of this practice"
        type="search"
        value={find}
        hint="By name, number or chip. Not there yet: fill in below."
        onChange={(e) => setFind(e.target.value)}
      />
      {data?.length === 0 ? <p className="hint">No patient of that name here yet.</p> : null}
      <ul className="patients">
        {data?.slice(0, 8).map((p) => (
          <li key={p.id}>
            <span>
              <b>{p.name}</b> <span className="hint">{line(p)}</span>
            </span>
            <Button onClick={() => onChoose(p)} aria-label={`Choose ${p.name}`}>
              Choose
            </Button>
          </li>
        ))}
      </ul>
    </>
  );
}
