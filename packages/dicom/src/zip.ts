import type { ByteSource, Read } from './source';
import { refuse } from './source';

/** One file of an archive. Its name is for showing only: nothing is ever written under it. */
export interface ZipEntry {
  /** Parts of the path, cleaned; the last is the file's name. */
  readonly path: readonly string[];
  readonly method: 'stored' | 'deflated';
  readonly crc32: number;
  readonly offset: number;
  readonly compressedBytes: number;
  readonly sizeBytes: number;
}

export interface ZipListing {
  readonly entries: readonly ZipEntry[];
  /** Entries whose path would leave the archive's own folder. */
  readonly unsafe: number;
  readonly locked: number;
  /** Entries packed in another way than stored or deflated, links and devices. */
  readonly unreadable: number;
}

/** Limits against archives made to fill a disk; ours. */
const mostEntries = 20_000;
const mostDirectoryBytes = 32 * 1024 * 1024;
const largestEntry = 4 * 1024 ** 3;
const largestTotal = 16 * 1024 ** 3;
/** Deflate cannot pack better than 1032:1; pictures come nowhere near. */
const densest = 1100;

const endSignature = 0x06054b50;
const end64Signature = 0x06064b50;
const locator64Signature = 0x07064b50;
const entrySignature = 0x02014b50;
const localSignature = 0x04034b50;

function view(bytes: Uint8Array): DataView {
  return new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
}

/**
 * Lists a ZIP archive (APPNOTE 6.3, with ZIP64) by its central directory. Refuses ARCHIVE_DAMAGED, FILE_TRUNCATED,
 * ARCHIVE_TOO_LARGE {files}, and ARCHIVE_DAMAGED too where entries overlap (one piece of data counted many times).
 */
export async function listZip(source: ByteSource): Promise<Read<ZipListing>> {
  const end = await findEnd(source);
  if (!end.ok) return end;
  const { count, at, bytes } = end.value;
  if (count > mostEntries || bytes > mostDirectoryBytes) return refuse('ARCHIVE_TOO_LARGE', { files: count });
  const directory = await source.read(at, bytes);
  if (directory.length < bytes) return refuse('FILE_TRUNCATED');
  const read = readEntries(directory);
  if (read === null) return refuse('ARCHIVE_DAMAGED');
  const entries: ZipEntry[] = [];
  for (const entry of read.entries) {
    const head = await source.read(entry.offset, 30);
    if (head.length < 30 || view(head).getUint32(0, true) !== localSignature)
      return refuse('ARCHIVE_DAMAGED');
    const offset = entry.offset + 30 + view(head).getUint16(26, true) + view(head).getUint16(28, true);
    if (offset + entry.compressedBytes > source.size) return refuse('FILE_TRUNCATED');
    entries.push({ ...entry, offset });
  }
  const problem = tooMuch(entries);
  return problem === null ? { ok: true, value: { ...read, entries } } : problem;
}

function tooMuch(entries: readonly ZipEntry[]): Read<ZipListing> | null {
  let total = 0;
  for (const entry of entries) {
    total += entry.sizeBytes;
    if (entry.sizeBytes > largestEntry || total > largestTotal)
      return refuse('ARCHIVE_TOO_LARGE', { files: entries.length });
    if (entry.sizeBytes > densest * entry.compressedBytes + 1024) return refuse('ARCHIVE_DAMAGED');
  }
  const inOrder = [...entries].sort((a, b) => a.offset - b.offset);
  const overlaps = inOrder.some((entry, n) => {
    const next = inOrder[n + 1];
    return next !== undefined && entry.offset + entry.compressedBytes > next.offset;
  });
  return overlaps ? refuse('ARCHIVE_DAMAGED') : null;
}

async function findEnd(source: ByteSource): Promise<Read<{ count: number; at: number; bytes: number }>> {
  const tailBytes = Math.min(source.size, 22 + 65_535 + 20);
  const tail = await source.read(source.size - tailBytes, tailBytes);
  const words = view(tail);
  for (let at = tail.length - 22; at >= 0; at -= 1) {
    if (words.getUint32(at, true) !== endSignature) continue;
    if (at + 22 + words.getUint16(at + 20, true) > tail.length) continue;
    const found = {
      count: words.getUint16(at + 10, true),
      bytes: words.getUint32(at + 12, true),
      at: words.getUint32(at + 16, true),
    };
    const large = found.count === 0xffff || found.bytes === 0xffffffff || found.at === 0xffffffff;
    if (large && at >= 20 && words.getUint32(at - 20, true) === locator64Signature)
      return readEnd64(source, Number(words.getBigUint64(at - 12, true)));
    return { ok: true, value: found };
  }
  return refuse('FILE_TRUNCATED');
}

async function readEnd64(
  source: ByteSource,
  place: number,
): Promise<Read<{ count: number; at: number; bytes: number }>> {
  if (!Number.isSafeInteger(place) || place > source.size) return refuse('ARCHIVE_DAMAGED');
  const bytes = await source.read(place, 56);
  if (bytes.length < 56 || view(bytes).getUint32(0, true) !== end64Signature)
    return refuse('ARCHIVE_DAMAGED');
  const value = {
    count: Number(view(bytes).getBigUint64(32, true)),
    bytes: Number(view(bytes).getBigUint64(40, true)),
    at: Number(view(bytes).getBigUint64(48, true)),
  };
  return Object.values(value).every(Number.isSafeInteger) ? { ok: true, value } : refuse('ARCHIVE_DAMAGED');
}

function readEntries(bytes: Uint8Array): ZipListing | null {
  const words = view(bytes);
  const entries: ZipEntry[] = [];
  const left = { unsafe: 0, locked: 0, unreadable: 0 };
  let at = 0;
  while (at + 46 <= bytes.length && words.getUint32(at, true) === entrySignature) {
    const [nameBytes, extraBytes, commentBytes] = [28, 30, 32].map((place) =>
      words.getUint16(at + place, true),
    );
    const nameEnd = at + 46 + (nameBytes ?? 0);
    const next = nameEnd + (extraBytes ?? 0) + (commentBytes ?? 0);
    if (next > bytes.length) return null;
    const flags = words.getUint16(at + 8, true);
    const method = words.getUint16(at + 10, true);
    const name = nameOf(bytes.subarray(at + 46, nameEnd), (flags & 0x800) !== 0);
    const sizes = sizesOf(words, at, bytes.subarray(nameEnd, nameEnd + (extraBytes ?? 0)));
    if (sizes === null) return null;
    // Made on Unix, the high word holds the file's mode: links and devices are no files of ours.
    const mode = (words.getUint32(at + 38, true) >>> 28) & 15;
    const path = cleanPath(name);
    if (!/[/\\]$/.test(name) && sizes.sizeBytes > 0) {
      if (path === null) left.unsafe += 1;
      else if ((flags & 1) !== 0) left.locked += 1;
      else if ((method !== 0 && method !== 8) || (words.getUint8(at + 5) === 3 && mode !== 0 && mode !== 8))
        left.unreadable += 1;
      else if (method === 0 && sizes.sizeBytes !== sizes.compressedBytes) return null;
      else
        entries.push({
          path,
          method: method === 0 ? 'stored' : 'deflated',
          crc32: words.getUint32(at + 16, true),
          ...sizes,
        });
    }
    at = next;
  }
  return at === 0 && bytes.length > 0 ? null : { entries, ...left };
}

/** Sizes and offset, from the ZIP64 extra field where the short ones say so. */
function sizesOf(
  words: DataView,
  at: number,
  extra: Uint8Array,
): { sizeBytes: number; compressedBytes: number; offset: number } | null {
  const short = [
    words.getUint32(at + 24, true),
    words.getUint32(at + 20, true),
    words.getUint32(at + 42, true),
  ];
  if (short.some((value) => value === 0xffffffff)) {
    const long = view(extra);
    for (let place = 0; place + 4 <= extra.length; place += 4 + long.getUint16(place + 2, true)) {
      if (long.getUint16(place, true) !== 1) continue;
      let next = place + 4;
      for (let n = 0; n < 3; n += 1) {
        if (short[n] !== 0xffffffff) continue;
        if (next + 8 > extra.length) return null;
        short[n] = Number(long.getBigUint64(next, true));
        next += 8;
      }
      break;
    }
  }
  const [sizeBytes = -1, compressedBytes = -1, offset = -1] = short;
  const sound = [sizeBytes, compressedBytes, offset].every(
    (value) => Number.isSafeInteger(value) && value >= 0,
  );
  return sound ? { sizeBytes, compressedBytes, offset } : null;
}

function nameOf(bytes: Uint8Array, utf8: boolean): string {
  try {
    return new TextDecoder(utf8 ? 'utf-8' : 'windows-1252', { fatal: true }).decode(bytes);
  } catch {
    return new TextDecoder('windows-1252').decode(bytes);
  }
}

/** Parts of a path without control letters; null when it is absolute, names a drive or climbs out. `cleanPath('A\\B.DCM')` is ['A', 'B.DCM']. */
export function cleanPath(name: string): string[] | null {
  if (/^[/\\]/.test(name) || /^[A-Za-z]:/.test(name)) return null;
  const parts = name.split(/[/\\]/).map((part) =>
    Array.from(part)
      .filter((letter) => letter >= ' ' && letter !== '\u007f')
      .join('')
      .trim(),
  );
  if (parts.includes('..')) return null;
  const kept = parts.filter((part) => part !== '' && part !== '.').map((part) => part.slice(0, 120));
  return kept.length === 0 || kept.length > 32 ? null : kept;
}
