/** After a cut nothing is tried for a while that grows to twenty seconds, and is short again once something went through. */
export class Rest {
  private cuts = 0;
  private timer: ReturnType<typeof setTimeout> | null = null;

  constructor(private readonly over: () => void) {}

  rests(): boolean {
    return this.timer !== null;
  }

  cut(): void {
    if (this.timer !== null) return;
    this.cuts += 1;
    this.timer = setTimeout(
      () => {
        this.timer = null;
        this.over();
      },
      Math.min(20_000, 1000 * 2 ** Math.min(this.cuts, 6)),
    );
  }

  /** Something went through: the next cut counts as the first. */
  forget(): void {
    this.cuts = 0;
  }

  /** The line is there again: nothing waits any longer. */
  end(): void {
    this.cuts = 0;
    if (this.timer !== null) clearTimeout(this.timer);
    this.timer = null;
  }
}
