import { Session } from 'node:inspector/promises';

/** Which blocks of the readers ran, by V8's own counting: an input that reaches a new one is worth changing further. */
export class BlockCoverage {
  private readonly session = new Session();
  private readonly seen = new Set<string>();

  async start(): Promise<void> {
    this.session.connect();
    await this.session.post('Profiler.enable');
    await this.session.post('Profiler.startPreciseCoverage', { callCount: true, detailed: true });
  }

  /** Number of blocks of `packages/` that ran since the last call and never before. */
  async fresh(): Promise<number> {
    const { result } = await this.session.post('Profiler.takePreciseCoverage');
    let found = 0;
    for (const script of result) {
      if (!script.url.includes('/packages/')) continue;
      for (const { ranges } of script.functions)
        for (const range of ranges) {
          const key = `${script.scriptId}:${range.startOffset}:${range.endOffset}`;
          if (range.count === 0 || this.seen.has(key)) continue;
          this.seen.add(key);
          found += 1;
        }
    }
    return found;
  }

  get blocks(): number {
    return this.seen.size;
  }
}
