import type { CaseView } from '@chordae/contract';

/**
 * What a second reader may see before both have signed: the practice's side alone, the sonographer's report among it. Whatever a reader measured, judged,
 * answered, wrote or signed is left out, and with it what was computed on it.
 */
export function blinded(view: CaseView): CaseView {
  const ofSender = <T extends { readonly side: string }>(all: T[]): T[] =>
    all.filter((x) => x.side !== 'reader');
  const kept = new Set(ofSender(view.measurements).map((m) => m.id));
  return {
    ...view,
    statements: ofSender(view.statements),
    measurements: ofSender(view.measurements).map((m) => ({
      ...m,
      supersededById: m.supersededById && kept.has(m.supersededById) ? m.supersededById : null,
    })),
    observations: unsuperseded(ofSender(view.observations)),
    interpretation: null,
    engineNews: null,
    flagAnswers: [],
    interims: [],
    wishes: [],
    opinions: [],
    draft: null,
    thread: view.thread.filter((m) => m.side === 'practice'),
    outcome: null,
    events: view.events.filter((e) => SENDERS.test(e.kind)),
  };
}

/** Events of the sending side; all others may tell what the first reader did. */
const SENDERS =
  /^(referral\.(opened|sent|withdrawn)|clip\.(arrived|read|released)|report(-addendum)?\.|patient\.|scan\.)/;

function unsuperseded(all: CaseView['observations']): CaseView['observations'] {
  const kept = new Set(all.map((o) => o.id));
  return all.map((o) => ({
    ...o,
    supersededById: o.supersededById && kept.has(o.supersededById) ? o.supersededById : null,
  }));
}
