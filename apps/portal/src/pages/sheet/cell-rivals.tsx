import type { CaseView, MeasurementCode, MeasurementRecord } from '@chordae/contract';
import { formatWithUnit, measurementNames } from '@chordae/words';
import { useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { useRereadCase } from '../../host/use-case';
import { uuidv7 } from '../../host/uuid';
import { Button } from '../../kit/button';
import type { Cells } from './use-cells';

/**
 * Values of the sender that stand for one quantity and one beat. More than one: two people typed it at the same moment,
 * and the mean of both would be computed with although nobody measured it.
 */
export function rivalsOf(
  all: readonly MeasurementRecord[],
  code: MeasurementCode,
  beat: number,
): MeasurementRecord[] {
  return all.filter(
    (m) =>
      m.side === 'sender' && m.code === code && (m.beat ?? 1) === beat && !m.supersededById && !m.withdrawn,
  );
}

/** A sentence when two values stand for the same beat anywhere on the sheet, else null. */
export function sayRivals(all: readonly MeasurementRecord[]): string | null {
  const found = all.find((m) => rivalsOf(all, m.code, m.beat ?? 1).length > 1);
  return found
    ? `Two people gave ${measurementNames[found.code].short} at the same moment: choose first which value stands.`
    : null;
}

/** Two values for one beat, or one typed over a newer one: both are shown, and a person chooses. */
export function CellRivals({
  c,
  code,
  beat,
  cells,
  editing,
}: {
  c: CaseView;
  code: MeasurementCode;
  beat: number;
  cells: Cells;
  editing: boolean;
}) {
  const rivals = rivalsOf(c.measurements, code, beat);
  const { short } = measurementNames[code];
  const said = (m: MeasurementRecord) => m.asTyped || formatWithUnit(m.value, m.unit);
  if (cells.clashes(code, beat)) {
    const theirs = rivals.at(-1);
    return (
      <div className="notice notice-look" role="alert">
        <p>
          {theirs
            ? `${theirs.madeBy} wrote ${said(theirs)} for ${short} meanwhile.`
            : `${short} was emptied meanwhile.`}{' '}
          Yours is {cells.textOf(code, beat) || 'empty'}, and is not saved.
        </p>
        <p className="row">
          <Button onClick={() => cells.settleClash(code, beat, 'yours')}>Keep mine</Button>
          <Button onClick={() => cells.settleClash(code, beat, 'theirs')}>Take theirs</Button>
        </p>
      </div>
    );
  }
  return rivals.length > 1 ? (
    <Both c={c} rivals={rivals} short={short} editing={editing} cells={cells} />
  ) : null;
}

function Both({
  c,
  rivals,
  short,
  editing,
  cells,
}: {
  c: CaseView;
  rivals: readonly MeasurementRecord[];
  short: string;
  editing: boolean;
  cells: Cells;
}) {
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  const reread = useRereadCase(place);
  const [problem, setProblem] = useState<string | null>(null);
  const keep = async (kept: MeasurementRecord) => {
    setProblem(null);
    try {
      for (const m of rivals.filter((r) => r.id !== kept.id)) {
        const { code, value, unit, asTyped, view, method, beat, clipId, frame, source, geometry } = m;
        await call('putMeasurement', {
          params: { ...place, measurementId: uuidv7() },
          body: {
            code,
            value,
            unit,
            asTyped,
            view,
            method,
            beat,
            clipId,
            frame,
            source,
            geometry,
            supersedesId: m.id,
            withdrawn: true,
          },
        });
      }
      cells.forget(kept.code, kept.beat ?? 1);
    } catch (error) {
      setProblem(sentenceOf(error));
    }
    await reread();
  };
  return (
    <div className="notice notice-look" role="alert">
      <p>
        Two values of {short} were given at the same moment. Until one is chosen, their mean is computed with.
      </p>
      <p className="row">
        {rivals.map((m) => (
          <Button key={m.id} disabled={!editing} onClick={() => void keep(m)}>
            Keep {m.asTyped || formatWithUnit(m.value, m.unit)} ({m.madeBy})
          </Button>
        ))}
      </p>
      {problem ? <p className="problem">{problem}</p> : null}
    </div>
  );
}
