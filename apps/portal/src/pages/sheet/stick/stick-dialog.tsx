import type { PatientView } from '@chordae/contract';
import { formatBytes, sayDiffering } from '@chordae/words';
import { useState } from 'react';
import type { ReadStick } from '../../../host/uploads/read-stick';
import { Button } from '../../../kit/button';
import { Dialog } from '../../../kit/dialog';
import { Tick } from '../../../kit/field';
import { sayDay } from '../../../kit/time';
import { type FileGroup, tickedAtFirst } from './group-files';
import { type SentBefore, saySentBefore, useSentBefore } from './mark-sent';

/** What a stick holds, by patient and day, to confirm before anything is sent. */
export function StickDialog({
  practiceId,
  patient,
  groups,
  left,
  onTake,
  onClose,
}: {
  practiceId: string;
  patient: PatientView;
  groups: readonly FileGroup[];
  left: ReadStick['left'];
  onTake: (files: File[]) => void;
  onClose: () => void;
}) {
  const [ticked, setTicked] = useState<ReadonlySet<string>>(
    () => new Set(groups.filter((g) => tickedAtFirst(g, groups)).map((g) => g.key)),
  );
  const before = useSentBefore(practiceId, groups);
  const patients = new Set(groups.filter((g) => g.key !== '').map((g) => g.key.split('|')[0])).size;
  const taken = groups.filter((g) => ticked.has(g.key)).flatMap((g) => g.files.map((f) => f.file));
  const wrong = groups.some((g) => ticked.has(g.key) && g.differs.includes('name'));
  return (
    <Dialog title={sayFound(patients, groups)} onClose={onClose} wide>
      <p className="hint">
        Only what is ticked goes to {patient.name}; nothing has been sent yet. What belongs to another patient
        goes into a referral of its own.
      </p>
      <ul className="stick-groups">
        {groups.map((group) => (
          <li key={group.key}>
            <Tick
              label={group.key === '' ? 'Files that name no patient' : sayWho(group)}
              checked={ticked.has(group.key)}
              onChange={(on) =>
                setTicked((now) => {
                  const next = new Set(now);
                  if (on) next.add(group.key);
                  else next.delete(group.key);
                  return next;
                })
              }
            />
            <p className="hint">
              {group.files.length} {group.files.length === 1 ? 'file' : 'files'},{' '}
              {formatBytes(group.files.reduce((sum, f) => sum + f.file.size, 0))}
              {group.scannedOn ? `, scanned ${sayDay(group.scannedOn)}` : ''}
            </p>
            <p className={group.differs.length > 0 ? 'problem' : 'hint'}>{sayFit(group, patient.name)}</p>
            <Before found={before.get(group.key)} name={patient.name} />
          </li>
        ))}
      </ul>
      {left.length > 0 ? (
        <details>
          <summary>
            {left.length} {left.length === 1 ? 'file is' : 'files are'} no image and will be left out
          </summary>
          <ul className="small-list">
            {left.slice(0, 200).map((l) => (
              <li key={l.fileName}>
                <b>{l.fileName}</b>: {l.why}
              </li>
            ))}
          </ul>
        </details>
      ) : null}
      {wrong ? (
        <p className="problem" role="alert">
          A name is ticked that differs from {patient.name}. Before sending you will be asked why it is the
          right animal.
        </p>
      ) : null}
      <p className="row">
        <Button look="main" disabled={taken.length === 0} onClick={() => onTake(taken)}>
          Take {taken.length} {taken.length === 1 ? 'file' : 'files'} for {patient.name}
        </Button>
        <Button look="quiet" onClick={onClose}>
          Take none
        </Button>
      </p>
    </Dialog>
  );
}

function Before({ found, name }: { found: SentBefore | undefined; name: string }) {
  const said = found ? saySentBefore(found, name) : null;
  return said ? <p className={said.other ? 'problem' : 'hint'}>{said.text}</p> : null;
}

function sayFound(patients: number, groups: readonly FileGroup[]): string {
  if (patients === 0) return 'Nothing here names a patient';
  const days = groups.filter((g) => g.key !== '').length;
  const found = patients === 1 ? 'One patient found' : `${patients} patients found`;
  return days > patients ? `${found}, on ${days} days` : found;
}

function sayWho(group: FileGroup): string {
  const name = (group.patientName ?? '').replace(/\^+/g, ' ').trim();
  const number = group.patientNumber ? `number ${group.patientNumber}` : '';
  return [name, number].filter(Boolean).join(', ');
}

function sayFit(group: FileGroup, name: string): string {
  if (group.key === '') return `Whether they show ${name} only you can tell.`;
  if (group.differs.length > 0) return `Differs from the referral in: ${sayDiffering(group.differs)}.`;
  return group.agrees ? `Agrees with ${name}.` : `Nothing in it could be compared with ${name}.`;
}
