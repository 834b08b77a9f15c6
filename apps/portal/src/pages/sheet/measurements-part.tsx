import type { CaseView, MeasurementCode, ViewId } from '@chordae/contract';
import { quantityCodes, viewsFor, wantedMeasurements } from '@chordae/interpretation';
import { formatWithUnit, measurementNames, unitText, viewNames } from '@chordae/words';
import { useState } from 'react';
import { Button } from '../../kit/button';
import { CellRivals } from './cell-rivals';
import { isCompanion } from './companions';
import { fieldUnit } from './field-unit';
import { stepInTable } from './step-in-table';
import type { Cells } from './use-cells';
import type { Paste } from './use-paste';
import { usePaste } from './use-paste';

/** Values by keyboard, in the order in which the plan takes them. */
export function MeasurementsPart({ c, cells, editing }: { c: CaseView; cells: Cells; editing: boolean }) {
  const wanted = wantedMeasurements(c.referral.plan, c.patient.species);
  const [more, setMore] = useState<readonly MeasurementCode[]>([]);
  const given = c.measurements
    .filter((m) => m.side === 'sender' && !m.supersededById && !m.withdrawn)
    .map((m) => m.code);
  const codes = [...new Set([...wanted.map((w) => w.code), ...given, ...more])].filter(
    (code) => !isCompanion(code),
  );
  const rest = quantityCodes.filter((code) => !codes.includes(code) && !isCompanion(code));
  const paste = usePaste(cells, codes, (added) => setMore((now) => [...now, ...added]));
  const must = new Set(wanted.filter((w) => w.need === 'must').map((w) => w.code));
  return (
    <section className="part" aria-labelledby="p-measure">
      <h2 id="p-measure">Measurements</h2>
      <p className="hint">
        Type 38.2 or 3,82 cm; Tab, Enter and the arrow keys go on. A number alone takes the unit shown.
        Several beats are averaged. A copied column fills the cells from here down; lines such as LVIDd 38.2
        go by name.
      </p>

      <table className="cells">
        <thead>
          <tr>
            <th scope="col">Quantity</th>
            <th scope="col">Value</th>
            <th scope="col">View</th>
          </tr>
        </thead>
        <tbody>
          {codes.map((code) => (
            <CellRow
              key={code}
              c={c}
              code={code}
              must={must.has(code)}
              cells={cells}
              paste={paste}
              editing={editing}
            />
          ))}
        </tbody>
      </table>
      <PasteNews paste={paste} />
      {editing && rest.length > 0 ? (
        <label className="row">
          <span className="label">Another quantity</span>
          <select
            className="select-short"
            value=""
            onChange={(e) => {
              const code = e.target.value as MeasurementCode;
              if (code) setMore((now) => [...now, code]);
            }}
          >
            <option value="">add</option>
            {rest.map((code) => (
              <option key={code} value={code}>
                {measurementNames[code].short}
              </option>
            ))}
          </select>
        </label>
      ) : null}
    </section>
  );
}

/** One quantity with its beats; `companion`: it has one value and no view. */
export function CellRow({
  c,
  code,
  must,
  cells,
  paste,
  companion = false,
  editing,
}: {
  c: CaseView;
  code: MeasurementCode;
  must: boolean;
  cells: Cells;
  paste: Paste;
  companion?: boolean;
  editing: boolean;
}) {
  const { short, full } = measurementNames[code];
  const unit = unitText(fieldUnit(code) ?? '');
  const beats = Array.from({ length: cells.beatsOf(code) }, (_, n) => n + 1);
  const problems = beats.map((b) => cells.problemOf(code, b)).filter((p) => p !== null);
  return (
    <tr>
      <th scope="row">
        {short}
        {must ? <span className="must"> needed</span> : null}
        {full === short ? null : <span className="hint cell-full">{full}</span>}
      </th>
      <td>
        <div className="cell-values">
          {beats.map((beat) => (
            <span key={beat} className="cell">
              <input
                aria-label={beat === 1 ? short : `${short}, beat ${beat}`}
                aria-invalid={cells.problemOf(code, beat) ? true : undefined}
                inputMode="decimal"
                autoComplete="off"
                disabled={!editing}
                value={cells.textOf(code, beat)}
                onChange={(e) => cells.type(code, beat, e.target.value)}
                onBlur={() => cells.commit(code, beat)}
                onPaste={(e) => {
                  if (paste.take(e.clipboardData.getData('text/plain'), code, beat)) e.preventDefault();
                }}
                onKeyDown={(e) => {
                  if (e.ctrlKey || e.metaKey || e.altKey) return;
                  if (e.key === 'Enter') cells.commit(code, beat);
                  if (stepInTable(e.key, e.currentTarget)) e.preventDefault();
                }}
              />
            </span>
          ))}
          {beats.some((beat) => !/[^\d.,\s]/.test(cells.textOf(code, beat))) ? (
            <span className="unit">{unit}</span>
          ) : null}
          {editing && !companion ? (
            <Button
              look="quiet"
              tabIndex={-1}
              aria-label={`Another beat of ${short}`}
              onClick={() => cells.addBeat(code)}
            >
              + beat
            </Button>
          ) : null}
        </div>
        <ByReader c={c} code={code} />
        {beats.map((beat) => (
          <CellRivals key={beat} c={c} code={code} beat={beat} cells={cells} editing={editing} />
        ))}
        {problems.map((p) => (
          <p key={p} className="problem" role="alert">
            {p}
          </p>
        ))}
      </td>
      {companion ? null : (
        <td>
          <ViewOf code={code} cells={cells} editing={editing} />
        </td>
      )}
    </tr>
  );
}

/** What the last paste filled in and what it left, with the way back. */
export function PasteNews({ paste }: { paste: Paste }) {
  return (
    <div role="status" className="paste-news">
      {paste.says === null ? null : (
        <div className="notice">
          <p>{paste.says}</p>
          <p className="row">
            {paste.undoable ? (
              <Button look="quiet" onClick={paste.undo}>
                Undo this paste
              </Button>
            ) : null}
            <Button look="quiet" onClick={paste.close}>
              Close
            </Button>
          </p>
        </div>
      )}
    </div>
  );
}

function ViewOf({ code, cells, editing }: { code: MeasurementCode; cells: Cells; editing: boolean }) {
  const own = viewsFor(code);
  if (own.length === 0) return <span className="hint">no view</span>;
  const now = cells.viewOf(code);
  const choices: readonly ViewId[] = now && !own.includes(now) ? [...own, now] : own;
  return (
    <select
      aria-label={`View of ${measurementNames[code].short}`}
      tabIndex={-1}
      disabled={!editing}
      value={now ?? ''}
      onChange={(e) => cells.setView(code, (e.target.value || null) as ViewId | null)}
    >
      <option value="">view not given</option>
      {choices.map((view) => (
        <option key={view} value={view}>
          {viewNames[view]}
        </option>
      ))}
    </select>
  );
}

/** What the reader measured instead: it stands, and the sender's own value stays to be read. */
function ByReader({ c, code }: { c: CaseView; code: MeasurementCode }) {
  const here = c.measurements.filter((m) => m.code === code);
  const reader = here.filter((m) => m.side === 'reader' && !m.supersededById && !m.withdrawn);
  if (reader.length === 0) return null;
  const replaced = here.filter((m) => m.side === 'sender' && reader.some((r) => r.supersedesId === m.id));
  return (
    <p className="hint">
      {reader.map((m) => (
        <span key={m.id}>
          The reader’s value stands: <b>{formatWithUnit(m.value, m.unit)}</b> ({m.madeBy}).{' '}
        </span>
      ))}
      {replaced.map((m) => (
        <span key={m.id}>
          Yours was <s>{m.asTyped || formatWithUnit(m.value, m.unit)}</s>.
        </span>
      ))}
    </p>
  );
}
