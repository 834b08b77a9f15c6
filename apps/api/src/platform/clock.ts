/** The clock is passed in, never read from the air: tests hold it still, in the application and in SQL alike. */
export interface Clock {
  now(): Date;
  /** Set for a clock that does not follow the machine's: SQL then uses this moment as well. */
  readonly fixed: boolean;
}

export const systemClock: Clock = { now: () => new Date(), fixed: false };

/** A clock that stands at `start` until moved. */
export function settableClock(start: Date): Clock & { set(to: Date): void; advance(ms: number): void } {
  let at = start;
  return {
    fixed: true,
    now: () => at,
    set: (to) => {
      at = to;
    },
    advance: (ms) => {
      at = new Date(at.getTime() + ms);
    },
  };
}
