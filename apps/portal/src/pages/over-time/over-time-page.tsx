import type { CaseView } from '@chordae/contract';
import { overTime } from '@chordae/figure';
import {
  formatNumber,
  nameOf,
  sayChange,
  sayChangeCaution,
  saySerialFinding,
  unitText,
} from '@chordae/words';
import { Link, useParams } from '@tanstack/react-router';
import { useMemo, useRef } from 'react';
import { useTitle } from '../../host/title';
import { useCase } from '../../host/use-case';
import { type Earlier, useEarlier } from '../../host/use-earlier';
import { PageOff } from '../../kit/failed';
import { FigureSvg } from '../../kit/limit-line';
import { CautionLine, Loading } from '../../kit/notice';
import { sayDay } from '../../kit/time';
import { useWidth } from '../../kit/use-width';
import { sayPatient } from '../say-patient';
import { liveInput } from '../sheet/case-input';
import { eventsOf, indicesOverTime, type TimedScan, timedScans, valuesOf, weightsOf } from './series';

/** A patient's indices over all scans that the viewer may see, on the limits of each day. */
export function OverTimePage() {
  const place = useParams({ from: '/members/in-shell/p/$practiceId/r/$referralId/over-time' });
  const { data, error, refetch } = useCase(place);
  useTitle(data ? `${data.patient.name}, over time` : 'Over time');
  if (error && !data) return <PageOff title="This patient cannot be shown" error={error} again={refetch} />;
  return <div className="page">{data ? <OfPatient c={data} /> : <Loading what="the scans" />}</div>;
}

function OfPatient({ c }: { c: CaseView }) {
  const input = useMemo(
    () => liveInput(c, { measurements: new Map(), answers: new Map(), referral: {}, state: {} }),
    [c],
  );
  const earlier = useEarlier(c, input);
  const day = c.scans.at(-1)?.scannedOn;
  const scans = useMemo(
    () => timedScans(earlier.scans, day ? { day, input } : null),
    [earlier.scans, input, day],
  );
  const box = useRef<HTMLDivElement>(null);
  const width = useWidth(box);
  const codes = indicesOverTime(scans);
  const events = eventsOf(scans);
  const params = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  return (
    <>
      <h1>{c.patient.name} over time</h1>
      <p>{sayPatient(c.patient)}</p>
      <p>
        <Link
          to={c.side === 'group' ? '/desk/$practiceId/$referralId' : '/p/$practiceId/r/$referralId'}
          params={params}
        >
          Back to referral {c.referral.number}
        </Link>
      </p>
      <p className="hint">
        {scans.length === 0 ? 'No scan yet' : scans.length === 1 ? 'One scan: ' : `${scans.length} scans: `}
        {scans.map((s) => sayDay(s.day)).join(', ')}. Each value stands on the published limits of its own
        day; the bracket is what measuring alone spreads it over. Numbers under the dates point to the list of
        drugs and signs.
      </p>
      {earlier.change.findings.map((finding) => (
        <p key={finding.code} className="notice notice-look">
          {saySerialFinding(finding)}
        </p>
      ))}
      <div ref={box} className="over-time-lines">
        {codes.length === 0 ? (
          <p className="empty">No index stands in two scans yet: nothing can be compared.</p>
        ) : (
          codes.map((code) => <Line key={code} code={code} scans={scans} earlier={earlier} width={width} />)
        )}
        {scans.length > 1 ? <Weights scans={scans} width={width} /> : null}
      </div>
      {events.length > 0 ? (
        <section aria-labelledby="told">
          <h2 id="told">Told on these days</h2>
          <ol className="small-list">
            {events.map((event) => (
              <li key={event.day}>
                <b>{sayDay(event.day)}:</b> {event.says.join('; ')}
              </li>
            ))}
          </ol>
          <p className="hint">What was not asked stands in no list. That does not say that there was none.</p>
        </section>
      ) : null}
      <CautionLine />
    </>
  );
}

const digits = (value: number): string => formatNumber(value, Math.abs(value) < 10 ? 2 : 1);
const shortDay = (day: string): string =>
  new Intl.DateTimeFormat('en-GB', { month: 'short', year: 'numeric', timeZone: 'UTC' }).format(
    new Date(`${day}T00:00:00Z`),
  );

function Line({
  code,
  scans,
  earlier,
  width,
}: {
  code: string;
  scans: readonly TimedScan[];
  earlier: Earlier;
  width: number;
}) {
  const changes = earlier.change.changes.filter((change) => change.index === code);
  const events = eventsOf(scans).map((event, i) => ({ day: event.day, mark: String(i + 1) }));
  const values = valuesOf(scans, code);
  const figure = overTime({
    values,
    events,
    width,
    height: 190,
    format: digits,
    formatDay: shortDay,
  });
  const unit = unitText(scans.flatMap((s) => s.result.indices).find((i) => i.code === code)?.unit ?? '');
  const label = `${nameOf(code)}: ${values.map((v) => `${digits(v.value)} on ${sayDay(v.day)}`).join(', ')}`;
  return (
    <section className="over-time-line" aria-label={nameOf(code)}>
      <h2>
        {nameOf(code)} {unit ? <span className="hint">{unit}</span> : null}
      </h2>
      <FigureSvg figure={figure} label={label} />
      {changes.map((change) => (
        <p key={change.against} className={change.verdict === 'beyond-error' ? 'index-change' : 'hint'}>
          {[sayChange(change), ...change.cautions.map(sayChangeCaution)].join(' ')}
        </p>
      ))}
    </section>
  );
}

function Weights({ scans, width }: { scans: readonly TimedScan[]; width: number }) {
  const values = weightsOf(scans);
  if (values.length < 2) return null;
  const figure = overTime({ values, events: [], width, height: 130, format: digits, formatDay: shortDay });
  return (
    <section className="over-time-line" aria-label="Body weight">
      <h2>
        Body weight <span className="hint">kg; hollow where it was guessed</span>
      </h2>
      <FigureSvg
        figure={figure}
        label={`Body weight: ${values.map((v) => `${digits(v.value)} kg on ${sayDay(v.day)}`).join(', ')}`}
      />
    </section>
  );
}

/** Width to draw in, known before the first paint. */
