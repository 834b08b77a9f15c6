import type { CaseView } from '@chordae/contract';
import { parseWeight } from '@chordae/interpretation';
import { formatNumber, sayError } from '@chordae/words';
import { Link } from '@tanstack/react-router';
import { useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import type { UploadItem } from '../../host/uploads/upload-state';
import { useRereadCase } from '../../host/use-case';
import { uuidv7 } from '../../host/uuid';
import { Button } from '../../kit/button';
import { Dialog } from '../../kit/dialog';
import { Notice, Problem } from '../../kit/notice';
import { sayDay } from '../../kit/time';
import { WeightFields } from '../referrals/patient-fields';
import type { PatientForm, PatientProblems } from '../referrals/patient-form';
import { sayPatient } from '../say-patient';
import type { Offer } from './machine-offers';
import { machineOffers } from './machine-offers';

/** Who the patient is, and what the machine wrote about it. */
export function PatientPart({
  c,
  items,
  editing,
  onHeartRate,
  onDate,
}: {
  c: CaseView;
  items: readonly UploadItem[];
  editing: boolean;
  onHeartRate: (text: string) => void;
  onDate: (day: string) => void;
}) {
  const [weighing, setWeighing] = useState(false);
  const [problem, setProblem] = useState<string | null>(null);
  const putWeight = usePutWeight(c);
  const take = (offer: Offer) => {
    setProblem(null);
    if (offer.kind === 'heart-rate') onHeartRate(String(offer.value));
    else if (offer.kind === 'date') onDate(offer.value);
    else
      putWeight({ weightKg: offer.value, asTyped: `${offer.value} kg`, guessed: false }).catch(
        (error: unknown) => setProblem(sentenceOf(error)),
      );
  };
  const { offers, differences } = machineOffers(c, items);
  return (
    <section className="part" aria-labelledby="p-patient">
      <h2 id="p-patient">Patient</h2>
      <p className="row">
        <span>
          <b>{c.patient.name}</b>, {sayPatient(c.patient)}
        </span>
        <Link
          to="/p/$practiceId/patients/$patientId"
          params={{ practiceId: c.referral.practiceId, patientId: c.patient.id }}
        >
          All about this patient
        </Link>
        {editing ? (
          <Button onClick={() => setWeighing(true)}>
            {c.patient.weight ? 'New weight' : 'Give the weight'}
          </Button>
        ) : null}
      </p>
      {c.patient.weight === null ? (
        <Notice level="look">No weight is given: nothing that is judged by body weight is computed.</Notice>
      ) : null}
      {differences.map((d) => (
        <Notice key={d} level="look">
          {d}
        </Notice>
      ))}
      {problem ? <Problem>{problem}</Problem> : null}
      {editing && offers.length > 0 ? (
        <ul className="plain-list" aria-label="What the machine wrote">
          {offers.map((offer) => (
            <li key={`${offer.kind}-${offer.value}`} className="row">
              <span>{sayOffer(offer)}</span>
              <Button onClick={() => take(offer)} aria-label={`Take over: ${sayOffer(offer)}`}>
                Take over
              </Button>
            </li>
          ))}
        </ul>
      ) : null}
      {weighing ? <WeightDialog onClose={() => setWeighing(false)} put={putWeight} /> : null}
    </section>
  );
}

function sayOffer(offer: Offer): string {
  if (offer.kind === 'weight') return `The machine wrote a weight of ${formatNumber(offer.value, 2)} kg`;
  if (offer.kind === 'date') return `The machine wrote ${sayDay(offer.value)} as the day of the scan`;
  return `The machine wrote a heart rate of ${offer.value}/min`;
}

type Weight = { weightKg: number; asTyped: string; guessed: boolean };

function usePutWeight(c: CaseView): (weight: Weight) => Promise<void> {
  const { practiceId, id: referralId } = c.referral;
  const reread = useRereadCase({ practiceId, referralId });
  return async (weight) => {
    await call('putWeight', {
      params: { practiceId, patientId: c.patient.id, weightId: uuidv7() },
      body: { ...weight, weighedOn: c.scans.at(-1)?.scannedOn ?? c.referral.createdAt.slice(0, 10) },
    });
    await reread();
  };
}

function WeightDialog({ onClose, put }: { onClose: () => void; put: (weight: Weight) => Promise<void> }) {
  const [form, setForm] = useState<Pick<PatientForm, 'weight' | 'weightUnit' | 'weightHow'>>({
    weight: '',
    weightUnit: '',
    weightHow: '',
  });
  const [problems, setProblems] = useState<PatientProblems>({});
  const save = async () => {
    const parsed = parseWeight(form.weight, form.weightUnit === '' ? null : form.weightUnit);
    if (!parsed.ok) return setProblems({ weight: sayError(parsed.code, parsed.data) });
    if (form.weightHow === '') return setProblems({ weightHow: 'Say whether it was measured or guessed.' });
    try {
      await put({ weightKg: parsed.kg, asTyped: parsed.asTyped, guessed: form.weightHow === 'guessed' });
      onClose();
    } catch (error) {
      setProblems({ weight: sentenceOf(error) });
    }
  };
  return (
    <Dialog title="Body weight" onClose={onClose}>
      <WeightFields
        form={form}
        problems={problems}
        onChange={(part) => setForm((f) => ({ ...f, ...part }))}
      />
      <p className="row">
        <Button look="main" onClick={() => void save()}>
          Keep this weight
        </Button>
      </p>
    </Dialog>
  );
}
