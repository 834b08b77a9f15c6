import { stepped } from './frame-clock';
import type { Due, LoopMode, Track } from './loop-plan';
import { framesBetween, LOOP_MODES, LoopPlan } from './loop-plan';

/** What the clock drives in one place. `paint` says whether the frame was there to be shown. */
export interface Screen {
  readonly track: Track;
  readonly paint: (frame: number) => boolean;
}

export interface ClockView {
  readonly playing: boolean;
  readonly mode: LoopMode;
  /** Rises with every hold, step and change of what is shown; not while playing. */
  readonly version: number;
}

/** The platform's beat and time, so that the clock can be tried without a screen. */
export interface ClockPlatform {
  now(): number;
  ask(draw: (now: number) => void): number;
  stop(asked: number): void;
}

export const browserClock: ClockPlatform = {
  now: () => performance.now(),
  ask: (draw) => requestAnimationFrame(draw),
  stop: (asked) => cancelAnimationFrame(asked),
};

/** One clock for all clips of a stage: plays them in phase, holds them, steps one; paints without going through the page's tree. */
export class StageClock {
  private readonly screens = new Map<number, Screen>();
  private readonly frames = new Map<number, number>();
  private readonly painted = new Map<number, Due>();
  private readonly told = new Set<() => void>();
  private plan = new LoopPlan(new Map(), 'together');
  private view: ClockView;
  private began = 0;
  private asked = 0;
  /** Frames that were due and frames that were shown, since playing began. */
  private expected = 0;
  private presented = 0;
  /** Frames that were due and not decoded yet. */
  private missing = 0;

  constructor(
    playing: boolean,
    private readonly platform: ClockPlatform = browserClock,
  ) {
    this.view = { playing, mode: 'together', version: 0 };
  }

  readonly subscribe = (listener: () => void): (() => void) => {
    this.told.add(listener);
    return () => this.told.delete(listener);
  };
  readonly read = (): ClockView => this.view;

  figures(): { readonly expected: number; readonly presented: number; readonly missing: number } {
    return { expected: this.expected, presented: this.presented, missing: this.missing };
  }

  frameOf(place: number): number {
    return this.frames.get(place) ?? 0;
  }

  speedOf(place: number): number {
    return this.plan.speed(place);
  }

  /** Puts a clip into a place, or takes it away; what plays on begins a new round together. */
  set(place: number, screen: Screen | null): void {
    if (screen) this.screens.set(place, screen);
    else {
      this.screens.delete(place);
      this.frames.delete(place);
    }
    this.replan(null);
  }

  /** The same clip with another way of painting: nothing begins anew. */
  repaint(place: number, paint: Screen['paint']): void {
    const screen = this.screens.get(place);
    if (screen) this.screens.set(place, { ...screen, paint });
  }

  toggle(from: number): void {
    if (this.view.playing) this.hold();
    else this.play(from);
  }

  /** Plays on from the frame that one place shows. */
  play(from: number): void {
    this.change({ playing: true });
    this.replan(from);
  }

  hold(): void {
    if (this.view.playing) this.change({ playing: false });
    this.platform.stop(this.asked);
  }

  step(place: number, by: number): void {
    const count = this.screens.get(place)?.track.times.length ?? 0;
    this.goTo(place, stepped(this.frameOf(place), by, count));
  }

  goTo(place: number, frame: number): void {
    this.hold();
    this.frames.set(place, frame);
    this.screens.get(place)?.paint(frame);
    this.change({});
  }

  nextMode(): LoopMode {
    const at = LOOP_MODES.indexOf(this.view.mode);
    const mode = LOOP_MODES[(at + 1) % LOOP_MODES.length] ?? 'together';
    this.change({ mode });
    this.replan(null);
    return mode;
  }

  close(): void {
    this.platform.stop(this.asked);
    this.screens.clear();
    this.told.clear();
  }

  private change(view: Partial<ClockView>): void {
    this.view = { ...this.view, ...view, version: this.view.version + 1 };
    for (const tell of this.told) tell();
  }

  private replan(from: number | null): void {
    const tracks = new Map([...this.screens].map(([place, s]) => [place, s.track]));
    this.plan = new LoopPlan(tracks, this.view.mode);
    this.painted.clear();
    this.expected = 0;
    this.presented = 0;
    this.missing = 0;
    const at = from === null ? 0 : this.plan.elapsedAt(from, this.frameOf(from));
    this.began = this.platform.now() - at;
    this.platform.stop(this.asked);
    if (this.view.playing && this.screens.size > 0) this.asked = this.platform.ask(this.draw);
  }

  private readonly draw = (now: number): void => {
    for (const [place, screen] of this.screens) {
      const due = this.plan.due(place, Math.max(0, now - this.began));
      if (!due) continue;
      const last = this.painted.get(place);
      if (last && last.frame === due.frame && last.lap === due.lap) continue;
      const shown = screen.paint(due.frame);
      this.expected += last ? framesBetween(last, due) : 1;
      if (!shown) this.missing += 1;
      if (shown && (!last || last.frame !== due.frame)) this.presented += 1;
      this.painted.set(place, due);
      this.frames.set(place, due.frame);
    }
    this.asked = this.platform.ask(this.draw);
  };
}
