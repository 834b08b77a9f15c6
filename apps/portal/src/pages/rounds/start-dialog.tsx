import type { FoundPatient, ScanPlanId, Visit } from '@chordae/contract';
import { useQuery } from '@tanstack/react-query';
import type { FormEvent } from 'react';
import { useRef, useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { uuidv7 } from '../../host/uuid';
import { Button } from '../../kit/button';
import { Dialog } from '../../kit/dialog';
import { TextArea } from '../../kit/field';
import { focusFirstProblem } from '../../kit/first-problem';
import { Problem } from '../../kit/notice';
import { sayDay } from '../../kit/time';
import { PatientFields } from '../referrals/patient-fields';
import { type PatientProblems, readPatient } from '../referrals/patient-form';
import { PlanChoice } from '../referrals/plan-choice';
import { sayPatientShort } from '../say-patient';
import { formOf, makePatient, openScan } from './start-visit';
import { patchVisit } from './use-rounds';

/**
 * Before the probe is taken: who is it, of this practice, and what is asked. A patient of the same name is offered and
 * never taken by itself.
 */
export function StartDialog({
  visit,
  day,
  practiceName,
  onClose,
  onStarted,
}: {
  visit: Visit;
  day: string;
  practiceName: string;
  onClose: () => void;
  onStarted: (referralId: string) => Promise<void>;
}) {
  const ids = useRef({ patient: uuidv7(), weight: uuidv7(), referral: uuidv7(), scan: uuidv7() });
  const [known, setKnown] = useState<string | null>(visit.patientId);
  const [form, setForm] = useState(() => formOf(visit));
  const [problems, setProblems] = useState<PatientProblems>({});
  const [plan, setPlan] = useState<ScanPlanId | null>(visit.planned.plan);
  const [question, setQuestion] = useState(visit.planned.question);
  const [problem, setProblem] = useState<string | null>(null);
  const [noPlan, setNoPlan] = useState(false);
  const [busy, setBusy] = useState(false);
  const formRef = useRef<HTMLFormElement>(null);
  const found = useCandidates(visit);
  const asNew = known === 'new' || (known === null && found.data !== undefined && found.data.length === 0);
  const start = async () => {
    const read = asNew ? readPatient(form, new Date()) : null;
    setProblems(read && !read.ok ? read.problems : {});
    setNoPlan(!plan);
    if (!read && !known) return setProblem('Choose the patient, or say that it is new here.');
    if (!plan || (read && !read.ok)) return focusFirstProblem(formRef.current);
    const patientId = read ? await makePatient(visit, read.value, day, ids.current) : known;
    if (!patientId) return;
    const planned = { ...visit.planned, plan, question: question.trim() };
    let base = visit.revision;
    if (plan !== visit.planned.plan || planned.question !== visit.planned.question)
      base = (await patchVisit(visit, { planned })).revision;
    await onStarted(await openScan({ ...visit, planned, revision: base }, patientId, day, ids.current));
  };
  const submit = (event: FormEvent) => {
    event.preventDefault();
    setProblem(null);
    setBusy(true);
    start()
      .catch((e: unknown) => setProblem(sentenceOf(e)))
      .finally(() => setBusy(false));
  };
  return (
    <Dialog title={`${visit.planned.name} at ${practiceName}`} onClose={onClose} wide>
      <form ref={formRef} className="stack" onSubmit={submit} noValidate>
        {visit.patientId ? (
          <p>
            Patient of {practiceName}: <b>{visit.patientName ?? visit.planned.name}</b>.
          </p>
        ) : (
          <Candidates
            found={found.data}
            problem={found.error ? sentenceOf(found.error) : null}
            chosen={known}
            practiceName={practiceName}
            onChoose={setKnown}
          />
        )}
        {asNew ? (
          <section className="form-part" aria-label="New patient">
            <PatientFields
              form={form}
              problems={problems}
              onChange={(part) => setForm((f) => ({ ...f, ...part }))}
            />
          </section>
        ) : null}
        <section className="form-part" aria-label="Question">
          <PlanChoice
            plan={plan}
            species={form.species}
            problem={noPlan && !plan ? 'Choose the question: it decides what is wanted.' : null}
            onChoose={setPlan}
          />
          <TextArea
            label="The question in the practice's words"
            rows={2}
            value={question}
            onChange={(e) => setQuestion(e.target.value)}
          />
        </section>
        {problem ? <Problem>{problem}</Problem> : null}
        <p className="row">
          <Button type="submit" look="main" keyHint="Ctrl Enter" disabled={busy}>
            {busy ? 'Opening …' : 'Open the scan'}
          </Button>
          <span className="hint">
            {practiceName}, {sayDay(day)}. A patient in distress is treated first, scanned later.
          </span>
        </p>
      </form>
    </Dialog>
  );
}

/** Patients of this practice of that name or chip: an own answer for the visit, since others of the name are elsewhere too. */
function useCandidates(visit: Visit) {
  const find = visit.planned.chip !== '' ? visit.planned.chip : visit.planned.name;
  return useQuery({
    queryKey: ['served', find],
    queryFn: ({ signal }) => call('findServed', { query: { find }, signal }),
    enabled: visit.patientId === null && find !== '',
    select: (rows: FoundPatient[]) => rows.filter((r) => r.practiceId === visit.practiceId).slice(0, 8),
  });
}

function Candidates({
  found,
  problem,
  chosen,
  practiceName,
  onChoose,
}: {
  found: FoundPatient[] | undefined;
  problem: string | null;
  chosen: string | null;
  practiceName: string;
  onChoose: (to: string) => void;
}) {
  if (problem) {
    return (
      <div className="stack">
        <p className="hint" role="status">
          Without a network it cannot be looked up whether this patient is known at {practiceName}. Two
          records of one patient can be merged later.
        </p>
        {chosen === 'new' ? null : <Button onClick={() => onChoose('new')}>Write it down as new</Button>}
      </div>
    );
  }
  if (!found) return <p className="loading">Looking for it at {practiceName} …</p>;
  if (found.length === 0)
    return <p className="hint">Not known at {practiceName} yet: look the facts over.</p>;
  return (
    <fieldset className="candidates">
      <legend>
        {found.length === 1 ? 'One patient' : `${found.length} patients`} of {practiceName}{' '}
        {found.length === 1 ? 'has' : 'have'} that name or chip. Is it the same?
      </legend>
      {found.map((p) => (
        <label key={p.patientId} className="tick">
          <input
            type="radio"
            name="candidate"
            checked={chosen === p.patientId}
            onChange={() => onChoose(p.patientId)}
          />
          <span>
            <b>{p.name}</b>, {sayPatientShort(p)}, number {p.number}
            {p.chip ? `, chip ${p.chip}` : ''}
            {p.lastScannedOn ? `, last scanned ${sayDay(p.lastScannedOn)}` : ', not scanned here yet'}
          </span>
        </label>
      ))}
      <label className="tick">
        <input type="radio" name="candidate" checked={chosen === 'new'} onChange={() => onChoose('new')} />
        <span>None of these: a new patient</span>
      </label>
    </fieldset>
  );
}
