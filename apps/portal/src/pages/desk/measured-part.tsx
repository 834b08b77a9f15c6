import type { CaseView, MeasurementRecord } from '@chordae/contract';
import { parseQuantity, unitOf } from '@chordae/interpretation';
import { formatWithUnit, measurementNames, sayError, viewNames } from '@chordae/words';
import { useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { useRereadCase } from '../../host/use-case';
import { uuidv7 } from '../../host/uuid';
import { Button } from '../../kit/button';
import { TextField } from '../../kit/field';
import { FrameNumber } from '../../kit/frame-link';
import { fieldUnit } from '../sheet/use-cells';
import { type SideRow, sayApart, sideBySide } from './side-by-side';

const SOURCES: Record<MeasurementRecord['source'], string> = {
  typed: 'typed',
  machine: 'from the machine',
  caliper: 'measured on the frame',
  computed: 'computed',
};

/** Sender, machine and reader beside one another; the reader's stands, the others stay. */
export function MeasuredPart({ c, mayWrite }: { c: CaseView; mayWrite: boolean }) {
  const rows = sideBySide(c.measurements, c.patient.species);
  if (rows.length === 0) return <p className="hint">None given.</p>;
  const machine = rows.some((row) => row.mean.machine !== null);
  return (
    <table className="measured-table" aria-label="Measurements">
      <thead>
        <tr>
          <th scope="col">
            <span className="hidden">Quantity</span>
          </th>
          <th scope="col">Sender</th>
          {machine ? <th scope="col">Machine</th> : null}
          <th scope="col">Reader</th>
          {mayWrite ? (
            <th scope="col">
              <span className="hidden">Change</span>
            </th>
          ) : null}
        </tr>
      </thead>
      <tbody>
        {rows.map((row) => (
          <Row key={row.code} c={c} row={row} machine={machine} mayWrite={mayWrite} />
        ))}
      </tbody>
    </table>
  );
}

function Row({
  c,
  row,
  machine,
  mayWrite,
}: {
  c: CaseView;
  row: SideRow;
  machine: boolean;
  mayWrite: boolean;
}) {
  const [editing, setEditing] = useState(false);
  const name = measurementNames[row.code];
  const apart = sayApart(row);
  const standing = row.of.reader.at(-1) ?? row.of.sender.at(-1) ?? row.of.machine.at(-1);
  const columns = 3 + (machine ? 1 : 0) + (mayWrite ? 1 : 0);
  const details = [...row.of.sender, ...row.of.machine, ...row.of.reader];
  return (
    <>
      <tr className={row.apart && row.apart.length > 0 ? 'measured-apart' : ''}>
        <th scope="row" title={name.full}>
          {name.short}
        </th>
        <Cell row={row} side="sender" all={c.measurements} />
        {machine ? <Cell row={row} side="machine" all={c.measurements} /> : null}
        <Cell row={row} side="reader" all={c.measurements} />
        {mayWrite && standing ? (
          <td>
            <Button look="quiet" aria-label={`Correct ${name.short}`} onClick={() => setEditing(true)}>
              Correct
            </Button>
          </td>
        ) : null}
      </tr>
      <tr className="measured-more">
        <td colSpan={columns}>
          {apart ? <span className="measured-says">{apart} </span> : null}
          <details>
            <summary>
              <span className="hidden">{name.short}: </span>
              {sayMakers(details)}
            </summary>
            <ul className="small-list">
              {details.map((m) => (
                <li key={m.id}>
                  <FrameNumber m={m} /> by {m.madeBy}, {SOURCES[m.source]}
                  {m.beat && m.beat > 1 ? `, beat ${m.beat}` : ''}
                  {m.view ? `, ${viewNames[m.view]}` : ''}
                </li>
              ))}
            </ul>
          </details>
          {editing && standing ? <Correction c={c} m={standing} onDone={() => setEditing(false)} /> : null}
        </td>
      </tr>
    </>
  );
}

function sayMakers(all: readonly MeasurementRecord[]): string {
  const makers = [...new Set(all.map((m) => `${m.madeBy}, ${SOURCES[m.source]}`))];
  return makers.length === 1 ? (makers[0] ?? '') : `${makers.length} ways`;
}

/** One side's value: a single number, or the mean of its beats; struck through where the reader's stands instead. */
function Cell({
  row,
  side,
  all,
}: {
  row: SideRow;
  side: MeasurementRecord['side'];
  all: readonly MeasurementRecord[];
}) {
  const own = row.of[side];
  const mean = row.mean[side];
  const replaced = side !== 'reader' && row.mean.reader !== null;
  const [only] = own;
  return (
    <td className={side === 'reader' ? 'measured-reader' : ''}>
      {mean === null || !only ? (
        <span className="hint" title="nothing given">
          –
        </span>
      ) : own.length === 1 ? (
        <FrameNumber m={only} struck={replaced} />
      ) : (
        <span className="numbers">
          {replaced ? <s>{formatWithUnit(mean, only.unit)}</s> : formatWithUnit(mean, only.unit)}{' '}
          <span className="hint">mean of {own.length}</span>
        </span>
      )}
      {own.flatMap((m) =>
        earlierOf(all, m).map((old) => (
          <s key={old.id} className="numbers measured-old">
            {formatWithUnit(old.value, old.unit)}
            <span className="hidden"> (replaced, by {old.madeBy})</span>
          </s>
        )),
      )}
    </td>
  );
}

/** What a value replaced, oldest last. */
function earlierOf(all: readonly MeasurementRecord[], m: MeasurementRecord): MeasurementRecord[] {
  const found: MeasurementRecord[] = [];
  let next = m.supersedesId;
  while (next !== null) {
    const before = all.find((x) => x.id === next);
    if (!before || before.side !== m.side) break;
    found.push(before);
    next = before.supersedesId;
  }
  return found;
}

function Correction({ c, m, onDone }: { c: CaseView; m: MeasurementRecord; onDone: () => void }) {
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  const reread = useRereadCase(place);
  const [text, setText] = useState('');
  const [problem, setProblem] = useState<string | null>(null);
  const { short } = measurementNames[m.code];
  const save = async () => {
    const parsed = parseQuantity(text, m.code, fieldUnit(m.code));
    if (!parsed.ok) return setProblem(sayError(parsed.code, parsed.data));
    try {
      await call('putMeasurement', {
        params: { ...place, measurementId: uuidv7() },
        body: {
          code: m.code,
          value: parsed.value,
          unit: unitOf(m.code),
          asTyped: parsed.asTyped,
          view: m.view,
          method: m.method,
          beat: m.beat,
          clipId: null,
          frame: null,
          source: 'typed',
          geometry: null,
          // A reader's own value is replaced; a sender's stays beside the reader's.
          supersedesId: m.side === 'reader' ? m.id : null,
        },
      });
      await reread();
      onDone();
    } catch (error) {
      setProblem(sentenceOf(error));
    }
  };
  return (
    <form
      className="row"
      onSubmit={(event) => {
        event.preventDefault();
        void save();
      }}
    >
      <TextField
        label={`New value of ${short}`}
        inputMode="decimal"
        autoFocus
        value={text}
        problem={problem}
        hint={fieldUnit(m.code) ?? undefined}
        onChange={(e) => setText(e.target.value)}
      />
      <Button type="submit">Keep the new value</Button>
      <Button look="quiet" onClick={onDone}>
        Leave it
      </Button>
    </form>
  );
}
