/** A small thing may share the line for so long before files under way stand back. */
const SHARED_MS = 700;
/** A page keeps the line free for so long at most. */
const FREE_MS = 30_000;

export interface MakeWayPorts {
  readonly underWay: () => boolean;
  /** Pauses every file under way; nothing that has arrived is lost. */
  readonly pause: () => void;
  readonly changed: () => void;
}

/** Lets small things have a slow line for themselves. */
export class MakeWay {
  private pages = 0;
  private timer: ReturnType<typeof setTimeout> | null = null;

  constructor(private readonly ports: MakeWayPorts) {}

  /** Whether a page wants the line for itself. */
  wanted(): boolean {
    return this.pages > 0;
  }

  /** For a page on which somebody waits, such as that of sending. Returns what ends it. */
  keepFree(): () => void {
    this.pages += 1;
    let open = true;
    const end = () => {
      if (!open) return;
      open = false;
      this.pages -= 1;
      this.ports.changed();
    };
    setTimeout(end, FREE_MS);
    this.ports.changed();
    return end;
  }

  /** Called at each change: `small` says whether anything small waits or is on its way. */
  look(small: boolean): void {
    if (!small || !this.ports.underWay()) {
      if (this.timer !== null) clearTimeout(this.timer);
      this.timer = null;
      return;
    }
    if (this.wanted()) this.ports.pause();
    else
      this.timer ??= setTimeout(() => {
        this.timer = null;
        this.ports.pause();
      }, SHARED_MS);
  }
}
