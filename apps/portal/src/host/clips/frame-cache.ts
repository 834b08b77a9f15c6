/** Decoded frames of all tiles take no more than this; a frame of 800 by 600 is 1.9 MB. */
export const FRAME_BUDGET_BYTES = 384 * 1024 * 1024;

interface Entry<V> {
  readonly value: V;
  readonly bytes: number;
  readonly passing: boolean;
}

/**
 * Values within a budget of bytes; what was used longest ago goes first and is told, so that it can be closed. Values that only pass
 * through go before all others: of loops that do not fit, a part stays instead of all being decoded anew each time round.
 */
export class FrameCache<V> {
  private readonly entries = new Map<string, Entry<V>>();
  private held = 0;

  constructor(
    private readonly budgetBytes: number,
    private readonly letGo: (value: V, key: string) => void,
  ) {}

  get bytes(): number {
    return this.held;
  }

  /** Takes a value and makes it the newest used. */
  get(key: string): V | null {
    const entry = this.entries.get(key);
    if (!entry) return null;
    this.entries.delete(key);
    this.entries.set(key, entry);
    return entry.value;
  }

  has(key: string): boolean {
    return this.entries.has(key);
  }

  /** A value larger than the whole budget is kept alone: something must be seen. */
  set(key: string, value: V, bytes: number, passing = false): void {
    this.drop(key);
    this.entries.set(key, { value, bytes, passing });
    this.held += bytes;
    for (const wanted of [true, false])
      for (const [oldest, entry] of this.entries) {
        if (this.held <= this.budgetBytes) return;
        if (oldest !== key && entry.passing === wanted) this.drop(oldest);
      }
  }

  drop(key: string): void {
    const entry = this.entries.get(key);
    if (!entry) return;
    this.entries.delete(key);
    this.held -= entry.bytes;
    this.letGo(entry.value, key);
  }

  /** Drops all whose key begins so. */
  dropAll(prefix: string): void {
    for (const key of this.entries.keys()) if (key.startsWith(prefix)) this.drop(key);
  }
}
