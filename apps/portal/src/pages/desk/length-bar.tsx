import type { CaseView, ClipRecord, MeasurementCode, MeasurementRecord } from '@chordae/contract';
import { quantityCodes, unitOf, wantedMeasurements } from '@chordae/interpretation';
import { lengthIntervalMm, lengthMm, regionAt } from '@chordae/measurement';
import { formatNumber, measurementNames } from '@chordae/words';
import type { FormEvent } from 'react';
import { useRef, useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { useRereadCase } from '../../host/use-case';
import { uuidv7 } from '../../host/uuid';
import { Button } from '../../kit/button';
import type { Session } from './canvas/session';
import { sayFinding } from './say-finding';

/** What the drawn length is, as which quantity it is kept, and why not where it is not. */
export function LengthBar({
  c,
  clip,
  session,
  onDone,
}: {
  c: CaseView;
  clip: ClipRecord;
  session: Session;
  onDone: () => void;
}) {
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  const reread = useRereadCase(place);
  const wanted = wantedMeasurements(c.referral.plan, c.patient.species).map((m) => m.code);
  const codes = [...new Set([...wanted, ...quantityCodes])].filter((code) => unitOf(code) === 'mm');
  const [code, setCode] = useState<MeasurementCode | ''>('');
  const [problem, setProblem] = useState<string | null>(null);
  const busy = useRef(false);
  const drawn = session.document.length;
  const { regions } = clip.description;
  const result = drawn ? lengthMm(regions, drawn.points[0], drawn.points[1]) : null;
  const between = drawn ? lengthIntervalMm(regions, drawn.points[0], drawn.points[1]) : null;
  const earlier = c.measurements.filter(
    (m) =>
      m.code === code && m.view === clip.view && m.side === 'reader' && !m.supersededById && !m.withdrawn,
  );
  const last = earlier.at(-1) ?? null;
  const nextBeat = Math.max(0, ...earlier.map((m) => m.beat ?? 1)) + 1;
  /** A further length of one quantity is a further beat, averaged; it replaces only where a person says so. */
  const keep = async (replaces: MeasurementRecord | null = null) => {
    if (!drawn || !result?.ok || busy.current) return;
    if (code === '') return setProblem('Choose what was measured.');
    const region = regionAt(regions, drawn.points[0]);
    if (!region) return setProblem(sayFinding('CALIBRATION_MISSING'));
    busy.current = true;
    try {
      await call('putMeasurement', {
        params: { ...place, measurementId: uuidv7() },
        body: {
          code,
          value: result.value,
          unit: 'mm',
          asTyped: '',
          view: clip.view,
          method: region.kind === 'm-mode' ? 'm-mode' : '2d',
          beat: replaces ? replaces.beat : nextBeat,
          clipId: clip.id,
          frame: drawn.frame,
          source: 'caliper',
          geometry: {
            shape: 'length',
            points: [...drawn.points],
            clipId: clip.id,
            frame: drawn.frame,
            scale: {
              x: Math.abs(region.deltaX),
              unitX: region.unitX === 's' ? 's' : 'cm',
              y: Math.abs(region.deltaY),
              unitY: 'cm',
              baselineY: null,
            },
            axis: null,
            second: null,
            calibration: `region of the file (${region.kind})`,
          },
          supersedesId: replaces?.id ?? null,
        },
      });
      await reread();
      onDone();
    } catch (error) {
      setProblem(sentenceOf(error));
    } finally {
      busy.current = false;
    }
  };
  return (
    <form
      className="stage-bar"
      id="length-bar"
      aria-label="Length"
      onSubmit={(event: FormEvent) => {
        event.preventDefault();
        void keep();
      }}
    >
      <output className="length-value" aria-label="Measured length">
        {result === null
          ? 'Press on one end, then on the other.'
          : result.ok
            ? `${formatNumber(result.value, 1)} mm`
            : sayFinding(result.finding)}
        {between?.ok ? (
          <span className="hint">
            {' '}
            (by pixels {formatNumber(between.value.least, 1)} to {formatNumber(between.value.most, 1)})
          </span>
        ) : null}
      </output>
      {result?.ok ? (
        <>
          <select
            aria-label="Measured as"
            className="select-short"
            value={code}
            onChange={(e) => {
              setProblem(null);
              setCode(e.target.value as MeasurementCode | '');
            }}
          >
            <option value="">measured as …</option>
            {codes.map((option) => (
              <option key={option} value={option}>
                {measurementNames[option].short}
              </option>
            ))}
          </select>
          <Button type="submit" look="main" keyHint="Enter">
            {last ? `Keep as beat ${nextBeat}` : 'Keep'}
          </Button>
          {last ? (
            <Button onClick={() => void keep(last)}>Replace {formatNumber(last.value, 1)} mm</Button>
          ) : null}
        </>
      ) : null}
      <Button look="quiet" keyHint="Esc" onClick={onDone}>
        Let go
      </Button>
      {problem ? (
        <p className="problem" role="alert">
          {problem}
        </p>
      ) : null}
    </form>
  );
}
