import type { CaseView } from '@chordae/contract';
import { wantedMeasurements } from '@chordae/interpretation';
import { listOf, measurementNames } from '@chordae/words';
import { useState } from 'react';
import { companionsOf, isCompanion } from './companions';
import { CellRow, PasteNews } from './measurements-part';
import { Answer } from './signs-part';
import type { Answers } from './use-answers';
import type { Cells } from './use-cells';
import { usePaste } from './use-paste';

/** Blood pressure, blood values, radiograph scores: data of the case, folded away until one of them is there. */
export function CompanionPart({
  c,
  cells,
  answers,
  editing,
}: {
  c: CaseView;
  cells: Cells;
  answers: Answers;
  editing: boolean;
}) {
  const [opened, setOpened] = useState(false);
  const stored = c.measurements
    .filter((m) => isCompanion(m.code) && !m.supersededById && !m.withdrawn)
    .map((m) => m.code);
  const codes = companionsOf(c.patient.species, stored);
  const given = codes.filter((code) => stored.includes(code) || cells.textOf(code, 1) !== '');
  const paste = usePaste(cells, codes, () => undefined);
  const must = new Set(
    wantedMeasurements(c.referral.plan, c.patient.species)
      .filter((w) => w.need === 'must')
      .map((w) => w.code),
  );
  return (
    <section className="part" aria-labelledby="p-companion">
      <h2 id="p-companion">Companion findings</h2>
      <details
        open={opened || given.length > 0}
        onToggle={(event) => setOpened(event.currentTarget.open)}
        className="companions"
      >
        <summary>
          {given.length > 0
            ? `Given: ${listOf(given.map((code) => measurementNames[code].short))}`
            : 'None given: blood pressure, T4, other blood values, radiograph scores, breathing asleep'}
        </summary>
        <table className="cells">
          <thead>
            <tr>
              <th scope="col">Quantity</th>
              <th scope="col">Value</th>
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
                companion
                editing={editing}
              />
            ))}
          </tbody>
        </table>
        <PasteNews paste={paste} />
        <Answer code="pressure-method" answers={answers} editing={editing} />
        <Answer code="nt-probnp-assay" answers={answers} editing={editing} />
        <p className="hint">
          Where no published limit is held here, a value is shown to the reader and not graded: read it by its
          laboratory’s own limits.
        </p>
      </details>
    </section>
  );
}
