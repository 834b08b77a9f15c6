/** So many at once; the others wait in the order in which they came. */
export class Slots {
  private free: number;
  private readonly waiting: (() => void)[] = [];

  constructor(most: number) {
    this.free = most;
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
    };
  }
}
