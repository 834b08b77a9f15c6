/** Whether the server answers, as the last request told. Nobody is asked for it: the page's own requests tell. */
export class Line {
  private state: 'up' | 'down' = 'up';
  private readonly listeners = new Set<() => void>();

  readonly subscribe = (listener: () => void): (() => void) => {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  };
  readonly read = (): 'up' | 'down' => this.state;

  set(state: 'up' | 'down'): void {
    if (state === this.state) return;
    this.state = state;
    for (const listener of this.listeners) listener();
  }
}
