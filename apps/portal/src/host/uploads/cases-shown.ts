/** Which cases a page has shown: what is only looked at by a person need not be done before. */
export class CasesShown {
  private readonly shown = new Set<string>();
  private readonly waiting = new Map<string, (() => void)[]>();

  show(referralId: string): void {
    this.shown.add(referralId);
    for (const go of this.waiting.get(referralId) ?? []) go();
    this.waiting.delete(referralId);
  }

  /** Resolves when the case is shown; at once where it has been. */
  until(referralId: string): Promise<void> {
    if (this.shown.has(referralId)) return Promise.resolve();
    return new Promise((go) => {
      this.waiting.set(referralId, [...(this.waiting.get(referralId) ?? []), go]);
    });
  }
}
