import type {
  CaseView,
  InterpretationInput,
  MeasurementCode,
  MeasurementRecord,
  ViewId,
} from '@chordae/contract';
import { parseQuantity, unitOf, viewsFor, viewsOf } from '@chordae/interpretation';
import { sayError } from '@chordae/words';
import { useRef, useState } from 'react';
import { ApiError, call, isPassing, sentenceOf } from '../../host/api';
import { lastWhere } from '../../host/last-where';
import { useRereadCase } from '../../host/use-case';
import { uuidv7 } from '../../host/uuid';
import { cellKey } from './case-input';
import { fieldUnit } from './field-unit';

type Live = InterpretationInput['measurements'][number];

export interface Cells {
  /** Texts that the server has not got yet. */
  readonly live: ReadonlyMap<string, Live | null>;
  readonly saving: boolean;
  /** Saves what is typed and waits; throws a sentence when a cell cannot be read or saved. */
  settle(): Promise<void>;
  textOf(code: MeasurementCode, beat: number): string;
  problemOf(code: MeasurementCode, beat: number): string | null;
  viewOf(code: MeasurementCode): ViewId | null;
  beatsOf(code: MeasurementCode): number;
  addBeat(code: MeasurementCode): void;
  type(code: MeasurementCode, beat: number, text: string): void;
  commit(code: MeasurementCode, beat: number): void;
  /** Types a text into a cell, which is shown from then on, and saves it at once. */
  fill(code: MeasurementCode, beat: number, text: string): void;
  setView(code: MeasurementCode, view: ViewId | null): void;
  /** Somebody else replaced what this cell was typed over: nothing is saved until a person has chosen. */
  clashes(code: MeasurementCode, beat: number): boolean;
  settleClash(code: MeasurementCode, beat: number, keep: 'yours' | 'theirs'): void;
  /** Lets go of what this page last saved in a cell, when another value has been chosen there. */
  forget(code: MeasurementCode, beat: number): void;
}

/** What this page has last saved in a cell. */
interface SavedCell {
  readonly id: string;
  readonly asTyped: string;
  readonly value: number;
  readonly view: ViewId | null;
  readonly withdrawn: boolean;
}

export { fieldUnit };

/** The measurement table: what is typed is computed on at once and saved when the cell is left. */
export function useCells(c: CaseView): Cells {
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  const reread = useRereadCase(place);
  const [texts, setTexts] = useState<ReadonlyMap<string, string>>(new Map());
  const [problems, setProblems] = useState<ReadonlyMap<string, string>>(new Map());
  const [views, setViews] = useState<ReadonlyMap<MeasurementCode, ViewId | null>>(new Map());
  const [beats, setBeats] = useState<ReadonlyMap<MeasurementCode, number>>(new Map());
  const [busy, setBusy] = useState(0);

  const saved = (code: MeasurementCode, beat: number): MeasurementRecord | null =>
    lastWhere(
      c.measurements,
      (m) =>
        m.side === 'sender' && m.code === code && (m.beat ?? 1) === beat && !m.supersededById && !m.withdrawn,
    ) ?? null;
  const viewOf = (code: MeasurementCode): ViewId | null => {
    if (views.has(code)) return views.get(code) ?? null;
    const before = lastWhere(
      c.measurements,
      (m) => m.side === 'sender' && m.code === code && !m.supersededById,
    );
    if (before) return before.view;
    const own = viewsFor(code);
    const planned = new Set(viewsOf(c.referral.plan).map((v) => v.view));
    return own.find((v) => planned.has(v)) ?? null;
  };
  const textOf = (code: MeasurementCode, beat: number) =>
    texts.get(cellKey(code, beat)) ?? saved(code, beat)?.asTyped ?? '';
  const methodOf = (code: MeasurementCode): Live['method'] => (unitOf(code) === 'm/s' ? 'doppler' : null);

  const live = new Map<string, Live | null>();
  for (const [key, text] of texts) {
    const [code, beat] = key.split(':') as [MeasurementCode, string];
    const parsed = parseQuantity(text, code, fieldUnit(code));
    live.set(
      key,
      parsed.ok
        ? {
            id: `typed-${key}`,
            code,
            value: parsed.value,
            unit: parsed.unit,
            view: viewOf(code),
            method: methodOf(code),
            beat: Number(beat),
            source: 'typed',
          }
        : null,
    );
  }

  // One save after the other per cell: a second value must replace the first one, also when it is typed before the first is back.
  const chains = useRef(new Map<string, Promise<void>>());
  const own = useRef(new Map<string, SavedCell>());
  const inLine = (key: string, work: () => Promise<void>) => {
    const done = (chains.current.get(key) ?? Promise.resolve()).then(work, work);
    chains.current.set(key, done);
    return done;
  };

  const attempts = useRef(
    new Map<string, { id: string; text: string; view: ViewId | null; supersedesId: string | null }>(),
  );
  const torn = useRef(new Set<string>());
  const unsaved = useRef(new Map<string, string>());
  const setProblem = (key: string, says: string | null) => {
    if (says === null) unsaved.current.delete(key);
    else unsaved.current.set(key, says);
    setProblems((now) => {
      const next = new Map(now);
      if (says === null) next.delete(key);
      else next.set(key, says);
      return next;
    });
  };

  const put = (code: MeasurementCode, beat: number, text: string, view: ViewId | null) =>
    inLine(cellKey(code, beat), () => putNow(code, beat, text, view));

  const putNow = async (code: MeasurementCode, beat: number, text: string, view: ViewId | null) => {
    const key = cellKey(code, beat);
    const mine = own.current.get(key);
    const before = mine ? (mine.withdrawn ? null : mine) : saved(code, beat);
    const emptied = text.trim() === '';
    const parsed = parseQuantity(emptied && before ? before.asTyped : text, code, fieldUnit(code));
    if (!emptied && !parsed.ok) return setProblem(key, sayError(parsed.code, parsed.data));
    setProblem(key, null);
    const unchanged = emptied
      ? !before
      : before?.asTyped === (parsed.ok ? parsed.asTyped : '') && before.view === view;
    if (!unchanged) {
      setBusy((n) => n + 1);
      // The same id for the same text: a try whose reply was lost is not stored twice.
      const tried = attempts.current.get(key);
      const again = tried?.text === text && tried.view === view ? tried : null;
      const id = again?.id ?? uuidv7();
      const supersedesId = again ? again.supersedesId : (mine?.id ?? before?.id ?? null);
      attempts.current.set(key, { id, text, view, supersedesId });
      try {
        await call('putMeasurement', {
          params: { ...place, measurementId: id },
          body: {
            code,
            value: parsed.ok ? parsed.value : (before?.value ?? 0),
            unit: unitOf(code),
            asTyped: parsed.ok ? parsed.asTyped : (before?.asTyped ?? ''),
            view,
            method: methodOf(code),
            beat,
            clipId: null,
            frame: null,
            source: 'typed',
            geometry: null,
            supersedesId,
            withdrawn: emptied,
          },
        });
        attempts.current.delete(key);
        own.current.set(key, {
          id,
          asTyped: parsed.ok ? parsed.asTyped : (before?.asTyped ?? ''),
          value: parsed.ok ? parsed.value : (before?.value ?? 0),
          view,
          withdrawn: emptied,
        });
        await reread();
      } catch (error) {
        // Somebody else may have replaced it: what the server holds is looked at again.
        own.current.delete(key);
        await reread().catch(() => undefined);
        if (!isPassing(error)) attempts.current.delete(key);
        else
          setTimeout(() => {
            // Typed on since: what stands there now is saved when the cell is left.
            if (unsaved.current.has(key)) void put(code, beat, text, view);
          }, 3000);
        if (error instanceof ApiError && error.code === 'ALREADY_SUPERSEDED') torn.current.add(key);
        return setProblem(key, sentenceOf(error));
      } finally {
        setBusy((n) => n - 1);
      }
    }
    setTexts((now) => {
      if (now.get(key) !== text) return now;
      const next = new Map(now);
      next.delete(key);
      return next;
    });
  };

  const settle = async () => {
    for (const [key, text] of texts) {
      const [code, beat] = key.split(':') as [MeasurementCode, string];
      if (!torn.current.has(key)) void put(code, Number(beat), text, viewOf(code));
    }
    await Promise.all(chains.current.values());
    const first = [...unsaved.current.values()][0];
    if (first !== undefined) throw new Error(first);
  };

  return {
    live,
    settle,
    saving: busy > 0,
    textOf,
    viewOf,
    problemOf: (code, beat) =>
      torn.current.has(cellKey(code, beat)) ? null : (problems.get(cellKey(code, beat)) ?? null),
    clashes: (code, beat) => torn.current.has(cellKey(code, beat)),
    settleClash: (code, beat, keep) => {
      const key = cellKey(code, beat);
      torn.current.delete(key);
      setProblem(key, null);
      const text = texts.get(key);
      if (keep === 'yours' && text !== undefined) return void put(code, beat, text, viewOf(code));
      setTexts((now) => new Map([...now].filter(([k]) => k !== key)));
    },
    forget: (code, beat) => {
      own.current.delete(cellKey(code, beat));
    },
    beatsOf: (code) => {
      const known = c.measurements.filter(
        (m) => m.side === 'sender' && m.code === code && !m.supersededById && !m.withdrawn,
      );
      return Math.max(1, beats.get(code) ?? 1, ...known.map((m) => m.beat ?? 1));
    },
    addBeat: (code) =>
      setBeats((now) => {
        const known = c.measurements.filter(
          (m) => m.side === 'sender' && m.code === code && !m.supersededById,
        );
        const shown = Math.max(1, now.get(code) ?? 1, ...known.map((m) => m.beat ?? 1));
        return new Map(now).set(code, Math.min(10, shown + 1));
      }),
    type: (code, beat, text) => {
      if (!torn.current.has(cellKey(code, beat))) setProblem(cellKey(code, beat), null);
      setTexts((now) => new Map(now).set(cellKey(code, beat), text));
    },
    commit: (code, beat) => {
      const text = texts.get(cellKey(code, beat));
      if (text !== undefined && !torn.current.has(cellKey(code, beat)))
        void put(code, beat, text, viewOf(code));
    },
    fill: (code, beat, text) => {
      setBeats((now) => new Map(now).set(code, Math.max(now.get(code) ?? 1, beat)));
      setTexts((now) => new Map(now).set(cellKey(code, beat), text));
      void put(code, beat, text, viewOf(code));
    },
    setView: (code, view) => {
      setViews((now) => new Map(now).set(code, view));
      const known = c.measurements.filter(
        (m) => m.side === 'sender' && m.code === code && !m.supersededById && !m.withdrawn,
      );
      for (const m of known) void put(code, m.beat ?? 1, m.asTyped, view);
    },
  };
}
