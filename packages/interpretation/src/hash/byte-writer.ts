import { utf8 } from './sha256';

/** First byte of a value: 0 to 0xef is a text of so many bytes. */
const LONG_TEXT = 0xf0;
const SMALL_WHOLE = 0xf1;
const NUMBER = 0xf2;
const NOTHING = 0xff;

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
    this.room(length + 5);
    const { bytes } = this;
    const start = this.lengthAt(length);
    for (let i = 0; i < length; i += 1) {
      const unit = value.charCodeAt(i);
      if (unit >= 0x80) {
        this.encoded(value);
        return;
      }
      bytes[start + i] = unit;
    }
    this.at = start + length;
  }

  /** Writes a text's length where it begins and says where its bytes go. */
  private lengthAt(length: number): number {
    if (length < LONG_TEXT) {
      this.bytes[this.at] = length;
      return this.at + 1;
    }
    this.bytes[this.at] = LONG_TEXT;
    this.view.setUint32(this.at + 1, length);
    return this.at + 5;
  }

  /** Texts beyond ASCII are rare: the full encoder begins again. */
  private encoded(value: string): void {
    const all = utf8(value);
    this.room(all.length + 5);
    const start = this.lengthAt(all.length);
    this.bytes.set(all, start);
    this.at = start + all.length;
  }

  /** A number: whole ones from 0 to 255 in one byte, others as their 64 bits (−0 as 0); or nothing where it is none. */
  number(value: number | null): void {
    this.room(9);
    if (value === null || !Number.isFinite(value)) {
      this.bytes[this.at++] = NOTHING;
    } else if (value >= 0 && value <= 255 && Number.isInteger(value)) {
      this.bytes[this.at++] = SMALL_WHOLE;
      this.bytes[this.at++] = value;
    } else {
      this.bytes[this.at++] = NUMBER;
      this.view.setFloat64(this.at, value);
      this.at += 8;
    }
  }

  /** What was written so far; holds until the next writer writes. */
  written(): Uint8Array {
    return this.bytes.subarray(0, this.at);
  }
}
