import type { CaseView, ClipRecord, MeasurementCode, MeasurementRecord } from '@chordae/contract';
import { drawnQuantityNames, measurementNames, sayBetween, sayDrawn, toolWords } from '@chordae/words';
import type { FormEvent } from 'react';
import { Button } from '../../kit/button';
import { currentOf } from './canvas/drawing';
import type { ClipsById, Reading } from './canvas/reading';
import { readingsOf } from './canvas/reading';
import type { Session } from './canvas/session';
import { TOOL_SPECS } from './canvas/specs';
import type { DeskKeys } from './desk-keys';
import { showKey } from './desk-keys';
import { beatsOf, codesFor, nextBeat, viewOf } from './keep-reading';
import { sayFinding } from './say-finding';

/** What is to be put next: the how-many-th point of all parts, or of which line. */
export function sayNextPut(session: Session): string {
  const drawing = currentOf(session.document);
  const words: readonly string[] = toolWords[session.tool].put;
  const spec = TOOL_SPECS[session.tool];
  const strokes = spec.parts[0]?.kind === 'stroke';
  const put = strokes
    ? (drawing?.parts.filter((p) => p.done).length ?? 0)
    : (drawing?.parts.reduce((sum, p) => sum + p.points.length, 0) ?? 0);
  const next = words[Math.min(put, words.length - 1)] ?? '';
  return `Put ${next}.`;
}

interface Props {
  readonly c: CaseView;
  readonly clip: ClipRecord;
  readonly clips: ClipsById;
  readonly session: Session;
  readonly keys: DeskKeys;
  readonly code: MeasurementCode | '';
  readonly problem: string | null;
  readonly kept: string | null;
  readonly onCode: (code: MeasurementCode | '') => void;
  readonly onKeep: (replaces: MeasurementRecord | null) => void;
  readonly onStep: (kind: 'undo' | 'redo' | 'cancel' | 'complete') => void;
}

/** The current tool: what it reads off, live and with its interval, and what it is kept as. */
export function MeasureBar(props: Props) {
  const { c, clip, clips, session, keys, code, problem, kept, onCode, onKeep, onStep } = props;
  const drawing = currentOf(session.document);
  const { state } = session;
  const cross = 'cross' in state ? state.cross : null;
  const readings = drawing ? readingsOf(drawing, clips, cross) : [];
  const done = state.name === 'editing';
  const only = readings.length === 1 && readings[0]?.code === null ? readings[0] : null;
  const choices = only ? codesFor(c, only) : [];
  const keepable = readings.length > 0 && readings.every((r) => r.values.ok) && done;
  const beats = code === '' ? [] : beatsOf(c, code, viewOf(c, clip));
  const last = only ? (beats.at(-1) ?? null) : null;
  const name = toolWords[session.tool].name;
  const submit = (event: FormEvent) => {
    event.preventDefault();
    if (done) onKeep(null);
    else onStep('complete');
  };
  return (
    <form className="stage-bar measure" id="measure-bar" aria-label={name} onSubmit={submit}>
      <b className="measure-tool">{name}</b>
      <output className="measure-values" aria-label={`Measured ${name.toLowerCase()}`}>
        {done ? null : <span className="measure-next">{sayNextPut(session)}</span>}
        <Values readings={readings} done={done} />
      </output>
      {keepable && only && choices.length > 0 ? (
        <select
          aria-label="Measured as"
          className="select-short"
          value={choices.includes(code as MeasurementCode) ? code : ''}
          onChange={(e) => onCode(e.target.value as MeasurementCode | '')}
          onKeyDown={(e) => {
            if (e.key === 'Enter') e.currentTarget.form?.requestSubmit();
          }}
        >
          <option value="">measured as …</option>
          {choices.map((option) => (
            <option key={option} value={option}>
              {measurementNames[option].short}
            </option>
          ))}
        </select>
      ) : null}
      {keepable && (!only || choices.length > 0) ? (
        <Button type="submit" look="main" keyHint={showKey(keys.keep)}>
          {last ? `Keep as beat ${nextBeat(beats)}` : only ? 'Keep' : `Keep all ${readings.length}`}
        </Button>
      ) : null}
      {keepable && only && choices.length === 0 ? (
        <span className="hint">Shown only: no measurement of this kind is kept.</span>
      ) : null}
      {keepable && last ? (
        <Button onClick={() => onKeep(last)}>Replace {sayDrawn(last.value, last.unit)}</Button>
      ) : null}
      <span className="measure-steps">
        <Button
          look="quiet"
          keyHint={showKey(keys.undo)}
          disabled={session.past.length === 0 && !session.before}
          onClick={() => onStep('undo')}
        >
          Back
        </Button>
        <Button
          look="quiet"
          keyHint={showKey(keys.redo)}
          disabled={session.future.length === 0}
          onClick={() => onStep('redo')}
        >
          Forth
        </Button>
        <Button look="quiet" keyHint={showKey(keys['let-go'])} onClick={() => onStep('cancel')}>
          Let go
        </Button>
      </span>
      {kept && !drawing ? (
        <p className="measure-kept" role="status">
          {kept}
        </p>
      ) : null}
      {problem ? (
        <p className="problem" role="alert">
          {problem}
        </p>
      ) : null}
    </form>
  );
}

function Values({ readings, done }: { readings: readonly Reading[]; done: boolean }) {
  return readings.map((r) => {
    if (!r.values.ok) {
      // While points are being put, what is still missing needs no sentence.
      const silent =
        !done && (r.values.finding === 'POINTS_MISSING' || r.values.finding === 'AXIS_OUTSIDE_WALL');
      return silent ? null : (
        <span key={r.key} className="measure-finding">
          {r.code ? `${measurementNames[r.code].short}: ` : ''}
          {sayFinding(r.values.finding)}
        </span>
      );
    }
    const [main, ...more] = r.values.value;
    if (!main) return null;
    return (
      <span key={r.key} className="measure-value">
        {r.code ? `${measurementNames[r.code].short} ` : ''}
        <span className="length-value">{sayDrawn(main.value, main.unit)}</span>
        <span className="hint"> (by pixels {sayBetween(main.least, main.most, main.unit)})</span>
        {more.map((v) => (
          <span key={v.quantity} className="measure-more">
            {drawnQuantityNames[v.quantity]} {sayDrawn(v.value, v.unit)}{' '}
            <span className="hint">({sayBetween(v.least, v.most, v.unit)})</span>
          </span>
        ))}
      </span>
    );
  });
}
