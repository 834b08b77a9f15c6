import type { PackFrame, PackIndex, PackProblem } from './frame-pack';
import { packHeadBytes, readPackHead, readPackIndex } from './frame-pack';

export type PackEvent =
  | { readonly kind: 'index'; readonly index: PackIndex }
  | { readonly kind: 'frame'; readonly number: number; readonly frame: PackFrame; readonly bytes: Uint8Array }
  | { readonly kind: 'problem'; readonly code: PackProblem };

/**
 * Turns the bytes of a pack, as they come off the line in pieces of any size, into its index and its frames in order.
 * Keeps only what has not been handed on. `end()` says PACK_TRUNCATED when frames are missing.
 */
export class PackStream {
  private pieces: Uint8Array[] = [];
  private held = 0;
  private index: PackIndex | null = null;
  private next = 0;
  private broken = false;

  push(piece: Uint8Array): PackEvent[] {
    if (this.broken || piece.length === 0) return [];
    this.pieces.push(piece);
    this.held += piece.length;
    const events: PackEvent[] = [];
    if (this.index === null && !this.readIndex(events)) return events;
    while (this.index !== null) {
      const frame = this.index.frames[this.next];
      if (frame === undefined || this.held < frame.sizeBytes) break;
      events.push({ kind: 'frame', number: this.next, frame, bytes: this.take(frame.sizeBytes) });
      this.next += 1;
    }
    return events;
  }

  end(): PackEvent[] {
    if (this.broken) return [];
    if (this.index !== null && this.next === this.index.frames.length) return [];
    this.broken = true;
    return [{ kind: 'problem', code: 'PACK_TRUNCATED' }];
  }

  private readIndex(events: PackEvent[]): boolean {
    if (this.held < packHeadBytes) return false;
    const head = readPackHead(this.peek(packHeadBytes));
    if (!head.ok) return this.stop(events, head.code);
    if (this.held < head.value.indexEnd) return false;
    const index = readPackIndex(this.take(head.value.indexEnd));
    if (!index.ok) return this.stop(events, index.code);
    this.index = index.value;
    events.push({ kind: 'index', index: index.value });
    return true;
  }

  private stop(events: PackEvent[], code: PackProblem): false {
    this.broken = true;
    events.push({ kind: 'problem', code });
    return false;
  }

  private peek(length: number): Uint8Array {
    const out = new Uint8Array(length);
    let at = 0;
    for (const piece of this.pieces) {
      if (at >= length) break;
      const part = piece.subarray(0, length - at);
      out.set(part, at);
      at += part.length;
    }
    return out;
  }

  private take(length: number): Uint8Array {
    const out = this.peek(length);
    let left = length;
    while (left > 0) {
      const first = this.pieces[0];
      if (first === undefined) break;
      if (first.length <= left) {
        left -= first.length;
        this.pieces.shift();
      } else {
        this.pieces[0] = first.subarray(left);
        left = 0;
      }
    }
    this.held -= length;
    return out;
  }
}
