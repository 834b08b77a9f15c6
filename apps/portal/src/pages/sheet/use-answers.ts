import type { CaseView, ObservationCode } from '@chordae/contract';
import { useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { useRereadCase } from '../../host/use-case';
import { uuidv7 } from '../../host/uuid';
import { standingAnswer } from './case-input';

export interface Answers {
  readonly own: ReadonlyMap<ObservationCode, string | null>;
  readonly problem: string | null;
  valueOf(code: ObservationCode): string | null;
  give(code: ObservationCode, value: string | null): void;
}

/** Coded answers: shown at once, saved one after the other, an older one superseded and kept. */
export function useAnswers(c: CaseView): Answers {
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  const reread = useRereadCase(place);
  const [own, setOwn] = useState<ReadonlyMap<ObservationCode, string | null>>(new Map());
  const [problem, setProblem] = useState<string | null>(null);
  const save = async (code: ObservationCode, value: string | null) => {
    const before = standingAnswer(c.observations, code);
    await call('putObservation', {
      params: { ...place, observationId: uuidv7() },
      body: { code, value, supersedesId: before?.id ?? null },
    });
    await reread();
    setOwn((now) => {
      if (now.get(code) !== value) return now;
      const next = new Map(now);
      next.delete(code);
      return next;
    });
  };
  return {
    own,
    problem,
    valueOf: (code) =>
      own.has(code) ? (own.get(code) ?? null) : (standingAnswer(c.observations, code)?.value ?? null),
    give: (code, value) => {
      setProblem(null);
      setOwn((now) => new Map(now).set(code, value));
      save(code, value).catch((error: unknown) => {
        setProblem(sentenceOf(error));
        void reread();
      });
    },
  };
}
