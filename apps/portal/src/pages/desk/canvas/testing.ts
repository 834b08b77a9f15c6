import type { FramePoint } from '@chordae/contract';
import { fitCamera } from './camera';
import type { Part } from './drawing';
import { currentOf } from './drawing';
import type { Place, Session } from './session';
import { handle } from './session';
import type { ToolEvent } from './tool';

/** A frame of 800 by 600 in a tile of 400 by 300: one screen pixel is two frame pixels. */
export const tile = { width: 400, height: 300 };
export const camera = fitCamera({ width: 800, height: 600 }, tile);
export const here: Place = { camera, tile, clipId: 'c1', frame: 7, overTime: () => false };

/** A hand at the desk: presses at places of the screen, keys, all through the tool that the session holds. */
export class Hand {
  constructor(
    public session: Session,
    public place: Place = here,
  ) {}
  does(...events: readonly ToolEvent[]): this {
    for (const event of events) this.session = handle(this.session, event, this.place);
    return this;
  }
  press(sx: number, sy: number): this {
    return this.does({ kind: 'press', at: { sx, sy } });
  }
  move(sx: number, sy: number): this {
    return this.does({ kind: 'move', at: { sx, sy } });
  }
  release(sx: number, sy: number): this {
    return this.does({ kind: 'release', at: { sx, sy } });
  }
  click(sx: number, sy: number): this {
    return this.press(sx, sy).release(sx, sy);
  }
  drag(...path: readonly (readonly [number, number])[]): this {
    const [first, ...others] = path;
    const last = path.at(-1);
    if (!first || !last) return this;
    this.press(...first);
    for (const p of others) this.move(...p);
    return this.release(...last);
  }
  key(kind: 'put' | 'complete' | 'cancel' | 'interrupt' | 'undo' | 'redo'): this {
    return this.does({ kind });
  }
  nudge(dx: number, dy: number): this {
    return this.does({ kind: 'nudge', dx, dy });
  }
  next(by: 1 | -1 = 1): this {
    return this.does({ kind: 'next', by });
  }
  onFrame(frame: number, clipId = this.place.clipId): this {
    this.place = { ...this.place, frame, clipId };
    return this;
  }
  get state(): string {
    return this.session.state.name;
  }
  get parts(): readonly Part[] {
    return currentOf(this.session.document)?.parts ?? [];
  }
  get points(): readonly (readonly FramePoint[])[] {
    return this.parts.map((p) => p.points);
  }
}
