import type { CaseView, ObservationCode } from '@chordae/contract';
import { useRef, useState } from 'react';
import { call, isPassing, sentenceOf } from '../../host/api';
import { useRereadCase } from '../../host/use-case';
import { uuidv7 } from '../../host/uuid';
import { standingAnswer } from './case-input';

export interface Answers {
  readonly own: ReadonlyMap<ObservationCode, string | null>;
  readonly problem: string | null;
  /** Waits until every answer given is on the server; throws a sentence when one could not be saved. */
  settle(): Promise<void>;
  valueOf(code: ObservationCode): string | null;
  give(code: ObservationCode, value: string | null): void;
}

/** Coded answers: shown at once, saved one after the other, an older one superseded and kept. */
export function useAnswers(c: CaseView): Answers {
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  const reread = useRereadCase(place);
  const [own, setOwn] = useState<ReadonlyMap<ObservationCode, string | null>>(new Map());
  const [problem, setProblem] = useState<string | null>(null);
  // One after the other per question: a second answer must replace the first, also when given before the first is back.
  const chains = useRef(new Map<ObservationCode, Promise<void>>());
  const last = useRef(new Map<ObservationCode, string>());
  const inLine = (code: ObservationCode, work: () => Promise<void>) => {
    const before = chains.current.get(code) ?? Promise.resolve();
    const done = before.then(work, work);
    chains.current.set(code, done);
    return done;
  };
  const waiting = useRef(new Map<ObservationCode, string>());
  /** The same id each time: a try whose reply was lost is not stored twice. */
  const saveUntilDone = async (code: ObservationCode, value: string | null) => {
    const observationId = uuidv7();
    for (let tries = 1; ; tries += 1) {
      try {
        await save(observationId, code, value);
        if (waiting.current.delete(code) && waiting.current.size === 0) setProblem(null);
        return;
      } catch (error) {
        if (!isPassing(error)) throw error;
        waiting.current.set(code, sentenceOf(error));
        setProblem(sentenceOf(error));
        await new Promise((resolve) => setTimeout(resolve, Math.min(30_000, 1000 * 2 ** tries)));
      }
    }
  };
  const save = async (observationId: string, code: ObservationCode, value: string | null) => {
    const supersedesId = last.current.get(code) ?? standingAnswer(c.observations, code)?.id ?? null;
    try {
      await call('putObservation', {
        params: { ...place, observationId },
        body: { code, value, supersedesId },
      });
    } catch (error) {
      last.current.delete(code);
      throw error;
    }
    last.current.set(code, observationId);
    await reread();
    setOwn((now) => {
      if (now.get(code) !== value) return now;
      const next = new Map(now);
      next.delete(code);
      return next;
    });
  };
  return {
    settle: async () => {
      const first = [...waiting.current.values()][0];
      if (first !== undefined) throw new Error(first);
      await Promise.all(chains.current.values());
    },
    own,
    problem,
    valueOf: (code) =>
      own.has(code) ? (own.get(code) ?? null) : (standingAnswer(c.observations, code)?.value ?? null),
    give: (code, value) => {
      setProblem(null);
      setOwn((now) => new Map(now).set(code, value));
      inLine(code, () => saveUntilDone(code, value)).catch((error: unknown) => {
        setProblem(sentenceOf(error));
        void reread();
      });
    },
  };
}
