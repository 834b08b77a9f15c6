import type { Round, Visit } from '@chordae/contract';
import { formatBytes, sayDiffering } from '@chordae/words';
import { useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { type ReadStick, readStick } from '../../host/uploads/read-stick';
import { uploads } from '../../host/uploads/uploads';
import { Button } from '../../kit/button';
import { Dialog } from '../../kit/dialog';
import { Problem } from '../../kit/notice';
import { sayDay } from '../../kit/time';
import { DropZone } from '../sheet/drop-zone';
import { type AssignedGroup, assignGroups, differsFrom, takesFiles } from './assign-groups';
import { inOrder } from './use-rounds';

interface Found {
  readonly rows: readonly AssignedGroup[];
  readonly left: ReadStick['left'];
}

/** A machine's stick with the whole day on it: files beside their visits by the names they carry, to confirm. */
export function StickOfDay({ round, nameOf }: { round: Round; nameOf: (practiceId: string) => string }) {
  const [reading, setReading] = useState<{ done: number; of: number } | null>(null);
  const [found, setFound] = useState<Found | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const [said, setSaid] = useState<string | null>(null);
  const look = async (files: File[]) => {
    if (files.length === 0) return;
    setProblem(null);
    setSaid(null);
    setReading({ done: 0, of: files.length });
    try {
      const read = await readStick(files, (done) => setReading({ done, of: files.length }));
      setFound({ rows: assignGroups(read.files, inOrder(round), round.day), left: read.left });
    } catch {
      setProblem(
        'The files could not be looked at, and none was taken. Reload the page and pick them again.',
      );
    } finally {
      setReading(null);
    }
  };
  return (
    <details className="stick-of-day">
      <summary>Clips of the day, all from one stick</summary>
      <DropZone onFiles={(files) => void look(files)} />
      {reading ? (
        <p className="hint" role="status">
          Looking at what the files are: {reading.done} of {reading.of}.
        </p>
      ) : null}
      {problem ? <Problem>{problem}</Problem> : null}
      {said ? (
        <p className="hint" role="status">
          {said}
        </p>
      ) : null}
      {found ? (
        <AssignDialog
          round={round}
          found={found}
          nameOf={nameOf}
          onClose={() => setFound(null)}
          onTaken={(words) => {
            setFound(null);
            setSaid(words);
          }}
        />
      ) : null}
    </details>
  );
}

function AssignDialog({
  round,
  found,
  nameOf,
  onClose,
  onTaken,
}: {
  round: Round;
  found: Found;
  nameOf: (practiceId: string) => string;
  onClose: () => void;
  onTaken: (words: string) => void;
}) {
  const visits = inOrder(round);
  const takers = visits.filter(takesFiles);
  const [chosen, setChosen] = useState<ReadonlyMap<string, string>>(
    () =>
      new Map(
        found.rows.flatMap((r) =>
          r.visitId && takers.some((v) => v.id === r.visitId) ? [[r.group.key, r.visitId] as const] : [],
        ),
      ),
  );
  const [problem, setProblem] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  const taken = found.rows.filter((r) => chosen.has(r.group.key));
  const count = taken.reduce((n, r) => n + r.group.files.length, 0);
  const take = async () => {
    setBusy(true);
    try {
      for (const row of taken) {
        const visit = takers.find((v) => v.id === chosen.get(row.group.key));
        if (visit) await give(visit, row);
      }
      onTaken(`${count} ${count === 1 ? 'file' : 'files'} taken; they are sent by themselves.`);
    } catch (error) {
      setProblem(sentenceOf(error));
    } finally {
      setBusy(false);
    }
  };
  return (
    <Dialog title="Whose files are these?" onClose={onClose} wide>
      <p className="hint">
        Nothing has been sent yet. Files go to a visit whose scan is open; what is not chosen stays on the
        stick.
      </p>
      <ul className="stick-groups">
        {found.rows.map((row) => (
          <li key={row.group.key}>
            <p>
              <b>{sayGroup(row)}</b>{' '}
              <span className="hint">
                {row.group.files.length} {row.group.files.length === 1 ? 'file' : 'files'},{' '}
                {formatBytes(row.group.files.reduce((sum, f) => sum + f.file.size, 0))}
                {row.group.scannedOn ? `, scanned ${sayDay(row.group.scannedOn)}` : ''}
              </span>
            </p>
            <select
              aria-label={`Visit of ${sayGroup(row)}`}
              value={chosen.get(row.group.key) ?? ''}
              onChange={(e) =>
                setChosen((now) => {
                  const next = new Map(now);
                  if (e.target.value === '') next.delete(row.group.key);
                  else next.set(row.group.key, e.target.value);
                  return next;
                })
              }
            >
              <option value="">not taken</option>
              {takers.map((v) => (
                <option key={v.id} value={v.id}>
                  {v.patientName ?? v.planned.name}, {nameOf(v.practiceId)}
                </option>
              ))}
            </select>
            <p className="hint">
              {sayFit(
                row,
                visits.find((v) => v.id === (chosen.get(row.group.key) ?? row.visitId)),
                round.day,
              )}
            </p>
          </li>
        ))}
      </ul>
      {found.left.length > 0 ? (
        <p className="hint">
          {found.left.length} {found.left.length === 1 ? 'file is' : 'files are'} no image and{' '}
          {found.left.length === 1 ? 'is' : 'are'} left out.
        </p>
      ) : null}
      {problem ? <Problem>{problem}</Problem> : null}
      <p className="row">
        <Button look="main" disabled={busy || count === 0} onClick={() => void take()}>
          Take {count} {count === 1 ? 'file' : 'files'}
        </Button>
      </p>
    </Dialog>
  );
}

async function give(visit: Visit, row: AssignedGroup): Promise<void> {
  if (!visit.referralId) return;
  const place = { practiceId: visit.practiceId, referralId: visit.referralId };
  const scan = (await call('getCase', { params: place })).scans.at(-1);
  if (!scan) throw new Error('This case has no scan yet. Open it once, then pick the files again.');
  uploads.add(
    { ...place, scanId: scan.id },
    row.group.files.map((f) => f.file),
  );
}

function sayGroup({ group }: AssignedGroup): string {
  if (group.key === '') return 'Files that name no patient';
  const name = (group.patientName ?? '').replace(/\^+/g, ' ').trim();
  return [name, group.patientNumber ? `number ${group.patientNumber}` : ''].filter(Boolean).join(', ');
}

function sayFit(row: AssignedGroup, visit: Visit | undefined, day: string): string {
  if (!visit) return 'No one visit has this name: choose, or leave it.';
  const name = visit.patientName ?? visit.planned.name;
  if (!takesFiles(visit)) return `Fits ${name}, whose scan is not open: open it first.`;
  const differs = differsFrom(row.group, visit, day);
  return differs.length > 0 ? `Differs from ${name} in: ${sayDiffering(differs)}.` : `Agrees with ${name}.`;
}
