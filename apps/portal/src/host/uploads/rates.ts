import { rateOf } from './upload-state';

/** How fast each file goes, over the last three seconds. */
export class Rates {
  private readonly samples = new Map<string, { at: number; bytes: number }[]>();

  begin(arrivalId: string): void {
    this.samples.set(arrivalId, []);
  }

  note(arrivalId: string, bytes: number): number | null {
    const samples = this.samples.get(arrivalId) ?? [];
    const now = Date.now();
    samples.push({ at: now, bytes });
    while ((samples[0]?.at ?? now) < now - 3000 && samples.length > 2) samples.shift();
    return rateOf(samples);
  }
}
