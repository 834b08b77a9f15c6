import type {
  CaseView,
  Flag,
  Interpretation,
  InterpretationInput,
  MeasurementRecord,
} from '@chordae/contract';
import { parseQuantity, unitOf } from '@chordae/interpretation';
import { formatWithUnit, measurementNames, sayChecks, sayError, viewNames } from '@chordae/words';
import { useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { lastWhere } from '../../host/last-where';
import { useRereadCase } from '../../host/use-case';
import { useEarlier } from '../../host/use-earlier';
import { uuidv7 } from '../../host/uuid';
import { Button } from '../../kit/button';
import { ReaderHints } from '../../kit/clip-hints';
import { EngineNewsNotice } from '../../kit/engine-news';
import { TextField } from '../../kit/field';
import { FlagSentence } from '../../kit/flag';
import { IndexLine } from '../../kit/index-line';
import { CautionLine } from '../../kit/notice';
import { OverTime } from '../../kit/over-time';
import { WhatWouldChange } from '../../kit/what-would-change';
import { fieldUnit } from '../sheet/use-cells';

/** Flags to keep or set aside, numbers on their limits, and every measurement with who made it. */
export function NumbersPanel({
  c,
  input,
  result,
  mayWrite,
}: {
  c: CaseView;
  input: InterpretationInput;
  result: Interpretation;
  mayWrite: boolean;
}) {
  const earlier = useEarlier(c, input);
  return (
    <div className="stack">
      <EngineNewsNotice news={c.engineNews} />
      <p className="checks" role="status">
        {sayChecks(result.flags.length, result.checks)}
      </p>
      <ul className="flags" aria-label="Flags">
        {result.flags.map((flag) => (
          <Answered key={flag.key} c={c} flag={flag} mayWrite={mayWrite} />
        ))}
      </ul>
      <h3>Measurements</h3>
      <Measurements c={c} mayWrite={mayWrite} />
      <h3>On their limits</h3>
      <ul className="indices">
        {result.indices.map((index) => (
          <IndexLine
            key={index.code}
            index={index}
            width={300}
            earlier={earlier.valuesOf(index.code)}
            changes={earlier.change.changes.filter((x) => x.index === index.code)}
          />
        ))}
      </ul>
      {result.indices.length === 0 ? <p className="hint">No number to judge has been given.</p> : null}
      <OverTime earlier={earlier} />
      <PictureHints c={c} />
      <WhatWouldChange input={input} />
      <CautionLine />
    </div>
  );
}

/** What the pictures of each clip suggest; beside the numbers, so that no clip jumps when it comes. */
function PictureHints({ c }: { c: CaseView }) {
  const looked = c.clips.filter((clip) => clip.assessment !== null);
  if (looked.length === 0) return null;
  return (
    <>
      <h3>Seen in the pictures</h3>
      {looked.map((clip) => (
        <div key={clip.id}>
          <p className="hint">
            Clip {clip.number}, {clip.view ? viewNames[clip.view] : 'view not named'}
          </p>
          <ReaderHints assessment={clip.assessment} />
        </div>
      ))}
    </>
  );
}

function Answered({ c, flag, mayWrite }: { c: CaseView; flag: Flag; mayWrite: boolean }) {
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  const reread = useRereadCase(place);
  const [reason, setReason] = useState<string | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const answer = lastWhere(c.flagAnswers, (a) => a.flagKey === flag.key);
  const give = (kind: 'kept' | 'set-aside', why: string) =>
    call('putFlagAnswer', {
      params: { ...place, answerId: uuidv7() },
      body: { flagKey: flag.key, answer: kind, reason: why },
    })
      .then(() => {
        setReason(null);
        return reread();
      })
      .catch((error: unknown) => setProblem(sentenceOf(error)));
  return (
    <FlagSentence flag={flag} context={{ phone: c.agreement?.practicePhone ?? null }} answer={answer}>
      {mayWrite && reason === null ? (
        <p className="flag-tools">
          <Button look="quiet" onClick={() => void give('kept', '')}>
            Keep
          </Button>
          <Button look="quiet" onClick={() => setReason('')}>
            Set aside
          </Button>
        </p>
      ) : null}
      {reason === null ? null : (
        <form
          className="stack"
          onSubmit={(event) => {
            event.preventDefault();
            void give('set-aside', reason);
          }}
        >
          <TextField
            label="Why it is set aside"
            value={reason}
            problem={problem}
            onChange={(e) => setReason(e.target.value)}
          />
          <p className="row">
            <Button type="submit" disabled={reason.trim() === ''}>
              Set aside with this reason
            </Button>
            <Button look="quiet" onClick={() => setReason(null)}>
              Leave it
            </Button>
          </p>
        </form>
      )}
    </FlagSentence>
  );
}

const SOURCES: Record<MeasurementRecord['source'], string> = {
  typed: 'typed',
  machine: 'from the machine',
  caliper: 'measured on the frame',
  computed: 'computed',
};

function Measurements({ c, mayWrite }: { c: CaseView; mayWrite: boolean }) {
  const live = c.measurements.filter((m) => !m.supersededById && !m.withdrawn);
  if (live.length === 0) return <p className="hint">None given.</p>;
  return (
    <ul className="measured" aria-label="Measurements">
      {live.map((m) => (
        <Measured key={m.id} c={c} m={m} mayWrite={mayWrite} />
      ))}
    </ul>
  );
}

/** What a value replaced, oldest last. */
function earlierOf(all: readonly MeasurementRecord[], m: MeasurementRecord): MeasurementRecord[] {
  const found: MeasurementRecord[] = [];
  let next = m.supersedesId;
  while (next !== null) {
    const before = all.find((x) => x.id === next);
    if (!before) break;
    found.push(before);
    next = before.supersedesId;
  }
  return found;
}

function Measured({ c, m, mayWrite }: { c: CaseView; m: MeasurementRecord; mayWrite: boolean }) {
  const [editing, setEditing] = useState(false);
  const { short } = measurementNames[m.code];
  const replaced =
    m.side === 'sender' &&
    c.measurements.some((x) => x.code === m.code && x.side === 'reader' && !x.supersededById && !x.withdrawn);
  return (
    <li>
      <p className="measured-row">
        <span>
          <b>{short}</b>{' '}
          {replaced ? (
            <s>{formatWithUnit(m.value, m.unit)}</s>
          ) : (
            <span className="numbers">{formatWithUnit(m.value, m.unit)}</span>
          )}
          {earlierOf(c.measurements, m).map((old) => (
            <s key={old.id} className="numbers measured-old">
              {formatWithUnit(old.value, old.unit)}
              <span className="hidden"> (replaced, by {old.madeBy})</span>
            </s>
          ))}
        </span>
        {mayWrite && !editing ? (
          <Button look="quiet" aria-label={`Correct ${short}`} onClick={() => setEditing(true)}>
            Correct
          </Button>
        ) : null}
      </p>
      <p className="hint">
        {m.madeBy}, {SOURCES[m.source]}
        {m.beat && m.beat > 1 ? `, beat ${m.beat}` : ''}
        {m.view ? `, ${viewNames[m.view]}` : ''}
        {replaced ? ' · the reader’s value stands' : ''}
      </p>
      {editing ? <Correction c={c} m={m} onDone={() => setEditing(false)} /> : null}
    </li>
  );
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
          supersedesId: m.id,
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
