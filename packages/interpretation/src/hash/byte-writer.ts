import { utf8 } from './sha256';

const NOTHING = 0xff;
const TEXT = 0x01;
const NUMBER = 0x02;

/** One buffer for all writers: nothing here waits, so one writer is done before the next begins. */
let shared = new Uint8Array(8192);
let sharedView = new DataView(shared.buffer);

/**
 * Writes values one after the other so that no two different lists give the same bytes: each with its kind and length.
 * A new writer takes the buffer of the last one.
 */
export class ByteWriter {
  private bytes = shared;
  private view = sharedView;
  private at = 0;

  private room(more: number): void {
    if (this.at + more <= this.bytes.length) return;
    const larger = new Uint8Array(Math.max(this.bytes.length * 2, this.at + more));
    larger.set(this.bytes);
    shared = larger;
    sharedView = new DataView(larger.buffer);
    this.bytes = larger;
    this.view = sharedView;
  }

  /** A text as UTF-8 with its length, or nothing. */
  text(value: string | null | undefined): void {
    if (value == null) {
      this.room(1);
      this.bytes[this.at++] = NOTHING;
      return;
    }
    const { length } = value;
    this.room(length * 3 + 5);
    const { bytes, at: start } = this;
    let at = start + 5;
    for (let i = 0; i < length; i += 1) {
      const unit = value.charCodeAt(i);
      if (unit >= 0x80) {
        // Rare: begin again with the full encoder.
        const encoded = utf8(value);
        bytes.set(encoded, start + 5);
        at = start + 5 + encoded.length;
        break;
      }
      bytes[at++] = unit;
    }
    const written = at - start - 5;
    bytes[start] = TEXT;
    bytes[start + 1] = written >>> 24;
    bytes[start + 2] = written >>> 16;
    bytes[start + 3] = written >>> 8;
    bytes[start + 4] = written;
    this.at = at;
  }

  /** A number as its 64 bits (−0 as 0), or nothing where it is none. */
  number(value: number | null): void {
    this.room(9);
    if (value === null || !Number.isFinite(value)) {
      this.bytes[this.at++] = NOTHING;
      return;
    }
    this.bytes[this.at++] = NUMBER;
    this.view.setFloat64(this.at, value === 0 ? 0 : value);
    this.at += 8;
  }

  /** What was written so far; holds until the next writer writes. */
  written(): Uint8Array {
    return this.bytes.subarray(0, this.at);
  }
}
