/**
 * The data elements of a DICOM data set (PS3.5 7), read tolerantly but within bounds: explicit or implicit VR, little or
 * big endian, sequences with or without end, private parts in which both kinds of VR are mixed.
 */
export interface DataElement {
  /** Two letters; null in implicit VR. */
  readonly vr: string | null;
  /** Where the value begins, in `DataSet.bytes`. */
  readonly offset: number;
  /** Bytes of the value; for an undefined length those found up to its delimiter (0 for Pixel Data). */
  readonly length: number;
  readonly undefinedLength: boolean;
  readonly items: readonly DataSet[] | null;
}

export interface DataSet {
  readonly bytes: Uint8Array;
  readonly littleEndian: boolean;
  /** By tag, as 'xGGGGEEEE' in small letters; of a tag that comes twice the first counts. */
  readonly elements: ReadonlyMap<string, DataElement>;
}

/** Why a data set could not be read: `cut` means that bytes are missing at the end, `damaged` that they contradict one another. */
export class DataSetFault extends Error {
  constructor(readonly kind: 'cut' | 'damaged') {
    super(kind);
  }
}

export interface Coding {
  readonly explicit: boolean;
  readonly littleEndian: boolean;
}

/** Limits against hostile nesting; real echo headers have four levels and some hundred elements. */
const deepest = 24;
const mostElements = 400_000;
const undefinedLength = 0xffffffff;
const itemTag = 0xfffee000;
const itemEnd = 0xfffee00d;
const sequenceEnd = 0xfffee0dd;
export const pixelDataTag = 0x7fe00010;

const longForms = new Set(['OB', 'OD', 'OF', 'OL', 'OV', 'OW', 'SQ', 'SV', 'UC', 'UN', 'UR', 'UT', 'UV']);
const shortForms = new Set('AE AS AT CS DA DS DT FD FL IS LO LT PN SH SL SS ST TM UI UL US'.split(' '));

export function tagName(tag: number): string {
  return `x${tag.toString(16).padStart(8, '0')}`;
}

interface Head {
  readonly tag: number;
  readonly vr: string | null;
  readonly length: number;
  readonly valueAt: number;
}

class Reader {
  private readonly view: DataView;
  private count = 0;

  constructor(
    private readonly bytes: Uint8Array,
    private readonly littleEndian: boolean,
  ) {
    this.view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  }

  /** Elements from `at` to `end`, or to an item's or sequence's end; stops in front of Pixel Data at the outermost level. */
  elements(at: number, end: number, explicit: boolean, depth: number): { set: DataSet; at: number } {
    if (depth > deepest) throw new DataSetFault('damaged');
    const found = new Map<string, DataElement>();
    let next = at;
    while (next + 8 <= end) {
      const head = this.head(next, end, explicit);
      if (head.tag === itemEnd || head.tag === sequenceEnd) {
        if (depth > 0) return { set: this.set(found), at: next };
        next = head.valueAt;
        continue;
      }
      this.count += 1;
      if (this.count > mostElements) throw new DataSetFault('damaged');
      const element = this.element(head, end, explicit, depth);
      const name = tagName(head.tag);
      if (!found.has(name)) found.set(name, element.value);
      next = element.next;
      if (head.tag === pixelDataTag && depth === 0) break;
    }
    return { set: this.set(found), at: next };
  }

  private set(elements: ReadonlyMap<string, DataElement>): DataSet {
    return { bytes: this.bytes, littleEndian: this.littleEndian, elements };
  }

  private head(at: number, end: number, explicit: boolean): Head {
    const tag =
      this.view.getUint16(at, this.littleEndian) * 65536 + this.view.getUint16(at + 2, this.littleEndian);
    if (tag >= 0xfffe0000 && tag <= 0xfffeffff)
      return { tag, vr: null, length: this.view.getUint32(at + 4, this.littleEndian), valueAt: at + 8 };
    const letters = explicit ? String.fromCharCode(this.bytes[at + 4] ?? 0, this.bytes[at + 5] ?? 0) : '';
    if (shortForms.has(letters))
      return { tag, vr: letters, length: this.view.getUint16(at + 6, this.littleEndian), valueAt: at + 8 };
    // A VR of later editions has the long form (PS3.5 6.2); letters that are none mean implicit VR in their midst.
    if (longForms.has(letters) || /^[A-Z]{2}$/.test(letters)) {
      if (at + 12 > end) throw new DataSetFault('cut');
      return { tag, vr: letters, length: this.view.getUint32(at + 8, this.littleEndian), valueAt: at + 12 };
    }
    return { tag, vr: null, length: this.view.getUint32(at + 4, this.littleEndian), valueAt: at + 8 };
  }

  private element(
    head: Head,
    end: number,
    explicit: boolean,
    depth: number,
  ): { value: DataElement; next: number } {
    const { tag, vr, length, valueAt } = head;
    if (tag === pixelDataTag && depth === 0) {
      const open = length === undefinedLength;
      const value = { vr, offset: valueAt, length: open ? 0 : length, undefinedLength: open, items: null };
      return { value, next: valueAt };
    }
    if (length === undefinedLength) {
      // A sequence under UN is implicit VR little endian whatever surrounds it (PS3.5 6.2.2, note).
      const inner = this.items(valueAt, end, explicit && vr !== 'UN' && vr !== null, depth + 1, false);
      const value = {
        vr,
        offset: valueAt,
        length: inner.at - valueAt,
        undefinedLength: true,
        items: inner.items,
      };
      return { value, next: inner.at };
    }
    if (valueAt + length > end) throw new DataSetFault('cut');
    const items = this.sequenceWithin(head, explicit, depth);
    return {
      value: { vr, offset: valueAt, length, undefinedLength: false, items },
      next: valueAt + length,
    };
  }

  /** Items of a value of known length that is, or looks like, a sequence; null when it is none or cannot be read as one. */
  private sequenceWithin({ vr, length, valueAt }: Head, explicit: boolean, depth: number): DataSet[] | null {
    const looks =
      length >= 8 &&
      this.view.getUint16(valueAt, this.littleEndian) === 0xfffe &&
      this.view.getUint16(valueAt + 2, this.littleEndian) === 0xe000;
    if (vr !== 'SQ' && !(looks && (vr === null || vr === 'UN'))) return null;
    try {
      return this.items(valueAt, valueAt + length, explicit && vr === 'SQ', depth + 1, true).items;
    } catch {
      return null;
    }
  }

  private items(
    at: number,
    end: number,
    explicit: boolean,
    depth: number,
    bounded: boolean,
  ): { items: DataSet[]; at: number } {
    const items: DataSet[] = [];
    let next = at;
    while (next + 8 <= end) {
      const { tag, length, valueAt } = this.head(next, end, explicit);
      if (tag === sequenceEnd) return { items, at: valueAt };
      if (tag !== itemTag) throw new DataSetFault('damaged');
      if (length === undefinedLength) {
        const inner = this.elements(valueAt, end, explicit, depth);
        items.push(inner.set);
        if (inner.at + 8 > end) throw new DataSetFault('cut');
        // An item without its own end stops where the sequence does.
        next = this.head(inner.at, end, explicit).tag === itemEnd ? inner.at + 8 : inner.at;
      } else {
        if (valueAt + length > end) throw new DataSetFault('cut');
        items.push(this.elements(valueAt, valueAt + length, explicit, depth).set);
        next = valueAt + length;
      }
      this.count += 1;
      if (this.count > mostElements) throw new DataSetFault('damaged');
    }
    if (!bounded) throw new DataSetFault('cut');
    return { items, at: end };
  }
}

/** Reads elements from `start` up to and including the head of Pixel Data, or to the end. Throws DataSetFault only. */
export function readDataSet(bytes: Uint8Array, start: number, coding: Coding): DataSet {
  try {
    return new Reader(bytes, coding.littleEndian).elements(start, bytes.length, coding.explicit, 0).set;
  } catch (thrown) {
    throw thrown instanceof DataSetFault ? thrown : new DataSetFault('damaged');
  }
}
