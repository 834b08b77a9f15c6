/** So long after a cut a question is asked again before somebody is told that it has no answer. */
const JUST_MS = 4000;

/** Whether the server answers, as the last request told. Nobody is asked for it: the page's own requests tell. */
export class Line {
  private state: 'up' | 'down' = 'up';
  private cutAtMs: number | null = null;
  private answered = false;
  private readonly listeners = new Set<() => void>();

  constructor(private readonly nowMs: () => number = () => performance.now()) {}

  readonly subscribe = (listener: () => void): (() => void) => {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  };
  readonly read = (): 'up' | 'down' => this.state;

  /** Cut so shortly ago that the same question may be answered a moment later. */
  justCut(): boolean {
    return this.cutAtMs !== null && this.nowMs() - this.cutAtMs < JUST_MS;
  }

  set(state: 'up' | 'down'): void {
    if (state === 'up') this.answered = true;
    if (state === this.state) return;
    this.state = state;
    // A page that was opened without a line was not cut off.
    this.cutAtMs = state === 'down' && this.answered ? this.nowMs() : null;
    for (const listener of this.listeners) listener();
  }
}
