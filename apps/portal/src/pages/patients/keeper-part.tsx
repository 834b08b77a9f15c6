import type { KeeperFields, PatientRecord } from '@chordae/contract';
import { useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { Button } from '../../kit/button';
import { TextField } from '../../kit/field';
import { Problem } from '../../kit/notice';

const NOBODY: KeeperFields = { name: '', phone: '', email: '' };

/** Who keeps the animal. Stays with the practice. */
export function KeeperPart({
  patient,
  keeper,
  mayEdit,
  reread,
}: {
  patient: PatientRecord;
  keeper: KeeperFields | null;
  mayEdit: boolean;
  reread: () => Promise<void>;
}) {
  const [typed, setTyped] = useState<Partial<KeeperFields>>({});
  const [problem, setProblem] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  const stands = keeper ?? NOBODY;
  const shown = { ...stands, ...typed };
  const changed = shown.name !== stands.name || shown.phone !== stands.phone || shown.email !== stands.email;
  const save = async () => {
    setProblem(null);
    setBusy(true);
    try {
      await call('putKeeper', {
        params: { practiceId: patient.practiceId, patientId: patient.id },
        body: { name: shown.name.trim(), phone: shown.phone.trim(), email: shown.email.trim() },
      });
      await reread();
      setTyped({});
    } catch (error) {
      setProblem(sentenceOf(error));
    } finally {
      setBusy(false);
    }
  };
  const field = (name: keyof KeeperFields, label: string, type: string) => (
    <TextField
      label={label}
      type={type}
      value={shown[name]}
      disabled={!mayEdit}
      onChange={(e) => setTyped((t) => ({ ...t, [name]: e.target.value }))}
    />
  );
  return (
    <section className="form-part" aria-labelledby="pp-keeper">
      <h2 id="pp-keeper">Keeper</h2>
      <p className="hint">
        Seen by the people of this practice alone: it is never sent to a reading group and stands in no
        report.
      </p>
      <div className="form-grid">
        {field('name', 'Keeper’s name', 'text')}
        {field('phone', 'Telephone', 'tel')}
        {field('email', 'Mail address', 'email')}
      </div>
      {problem ? <Problem>{problem}</Problem> : null}
      {mayEdit && changed ? (
        <p className="row">
          <Button look="main" disabled={busy} onClick={() => void save()}>
            {busy ? 'Saving …' : 'Save the keeper'}
          </Button>
          <Button look="quiet" onClick={() => setTyped({})}>
            Leave as it was
          </Button>
        </p>
      ) : null}
    </section>
  );
}
