/** So many at once; the others wait in the order in which they came. */
export class Slots {
  private free: number;
  private readonly waiting: (() => void)[] = [];
  private readonly whenIdle: (() => void)[] = [];
  private readonly most: number;

  constructor(most: number) {
    this.free = most;
    this.most = most;
  }

  /** Resolves with what gives the place back. */
  async take(): Promise<() => void> {
    if (this.free > 0) this.free -= 1;
    else await new Promise<void>((resolve) => this.waiting.push(resolve));
    let given = false;
    return () => {
      if (given) return;
      given = true;
      const next = this.waiting.shift();
      if (next) next();
      else this.free += 1;
      if (this.free === this.most) for (const tell of this.whenIdle.splice(0)) tell();
    };
  }

  /** Resolves when all places are free, or after so many milliseconds. */
  idle(mostMs: number): Promise<void> {
    if (this.free === this.most) return Promise.resolve();
    return new Promise((resolve) => {
      this.whenIdle.push(resolve);
      setTimeout(resolve, mostMs);
    });
  }
}
