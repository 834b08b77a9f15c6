import { createHash } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { open, rm } from 'node:fs/promises';
import { join } from 'node:path';
import type { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { crc32, createInflateRaw } from 'node:zlib';
import type { ByteSource, Read, ZipEntry } from '@chordae/dicom';
import { listZip, openDicom, readDirectory, recognise, refuse } from '@chordae/dicom';
import type { Unpacked, UnpackedMember, UnpackRequest } from '../reading';
import { openFileSource } from './file-source';
import { inflate } from './inflate';

/** How much of a member is looked at before it is decided whether it is kept. */
const lookBytes = 4096;
/** A directory is read whole, and none is near this. */
const largestDirectory = 64 * 1024 * 1024;

class Damaged extends Error {}

/**
 * Unpacks what an archive holds of pictures, films and reports into a folder, each under a number; what its content says
 * is none of these is left, counted and never written out. An archive in an archive stays packed.
 */
export async function unpack(request: Omit<UnpackRequest, 'kind'>): Promise<Read<Unpacked>> {
  const source = await openFileSource(request.originalPath);
  try {
    const listing = await listZip(source);
    if (!listing.ok) return listing;
    const { entries, unsafe, locked, unreadable } = listing.value;
    const members: UnpackedMember[] = [];
    const left = { other: 0, damaged: 0, archives: 0, directories: 0, unsafe, locked, unreadable };
    const listed: string[] = [];
    let written = 0;
    for (const entry of entries) {
      const path = join(request.folder, `member-${members.length}`);
      const taken = await take(request.originalPath, entry, path, request.mostBytes - written);
      if (taken === 'too large') return refuse('OUTPUT_TOO_LARGE');
      if (typeof taken === 'string') left[taken] += 1;
      else if (taken.directory !== null) {
        left.directories += 1;
        listed.push(...taken.directory);
        await rm(path, { force: true });
      } else {
        written += entry.sizeBytes;
        members.push({ path, name: entry.path.join('/'), sizeBytes: entry.sizeBytes, sha256: taken.sha256 });
      }
    }
    const present = endsOf(entries);
    const missing = new Set(listed.filter((name) => !present.has(name))).size;
    return {
      ok: true,
      value: { kind: 'unpack', members, left, missing, files: entries.length + unsafe + locked + unreadable },
    };
  } finally {
    await source.close();
  }
}

/** Every path, upper case, from each of its folders on: a stick's folder may have been packed with those above it. */
function endsOf(entries: readonly ZipEntry[]): ReadonlySet<string> {
  const ends = new Set<string>();
  for (const { path } of entries)
    for (let from = 0; from < path.length; from += 1) ends.add(path.slice(from).join('/').toUpperCase());
  return ends;
}

type Taken = { readonly sha256: string; readonly directory: string[] | null };

/** Writes one member where its content is worth it. */
async function take(
  archive: string,
  entry: ZipEntry,
  path: string,
  mostBytes: number,
): Promise<Taken | 'other' | 'damaged' | 'archives' | 'too large'> {
  const first = await head(archive, entry).catch(() => null);
  if (first === null) return 'damaged';
  const format = recognise(first, entry.sizeBytes);
  if (!format.ok) {
    // A picture of a kind that is not read is sent on, to be refused by name.
    if (
      format.problem.code !== 'FORMAT_NOT_YET_READ' ||
      !/picture|video/.test(String(format.problem.data['what']))
    )
      return 'other';
  } else if (format.value === 'zip') return 'archives';
  if (entry.sizeBytes > mostBytes) return 'too large';
  try {
    const sha256 = await writeOut(archive, entry, path);
    return {
      sha256,
      directory: format.ok && format.value === 'dicom' ? await directoryOf(path, entry.sizeBytes) : null,
    };
  } catch (thrown) {
    await rm(path, { force: true });
    if (thrown instanceof Damaged || isZlib(thrown)) return 'damaged';
    throw thrown;
  }
}

function isZlib(thrown: unknown): boolean {
  return (thrown as NodeJS.ErrnoException).code?.startsWith('Z_') === true;
}

function packed(archive: string, entry: ZipEntry, most = entry.compressedBytes): Readable {
  return createReadStream(archive, { start: entry.offset, end: entry.offset + most - 1 });
}

/** The first bytes of a member, unpacked. */
async function head(archive: string, entry: ZipEntry): Promise<Uint8Array> {
  // Deflated text grows at most 1:1; some more is read so that the first block is whole.
  const stream = packed(archive, entry, Math.min(entry.compressedBytes, 16 * lookBytes));
  const plain = entry.method === 'stored' ? stream : stream.pipe(createInflateRaw());
  const pieces: Buffer[] = [];
  let bytes = 0;
  try {
    for await (const piece of plain) {
      pieces.push(piece as Buffer);
      bytes += (piece as Buffer).length;
      if (bytes >= lookBytes) break;
    }
  } catch (thrown) {
    // Cut on purpose: only a stream that gave nothing is damaged.
    if (bytes === 0) throw thrown;
  }
  return new Uint8Array(Buffer.concat(pieces).subarray(0, lookBytes));
}

/** Unpacks to a file and checks length and CRC-32; gives the SHA-256. */
async function writeOut(archive: string, entry: ZipEntry, path: string): Promise<string> {
  const hash = createHash('sha256');
  const handle = await open(path, 'wx', 0o600);
  let bytes = 0;
  let sum = 0;
  try {
    const sink = async (source: AsyncIterable<Buffer>): Promise<void> => {
      for await (const piece of source) {
        bytes += piece.length;
        if (bytes > entry.sizeBytes) throw new Damaged();
        sum = crc32(piece, sum);
        hash.update(piece);
        await handle.write(piece);
      }
    };
    if (entry.method === 'stored') await pipeline(packed(archive, entry), sink);
    else await pipeline(packed(archive, entry), createInflateRaw(), sink);
    await handle.sync();
  } finally {
    await handle.close();
  }
  if (bytes !== entry.sizeBytes || sum !== entry.crc32) throw new Damaged();
  return hash.digest('hex');
}

async function saysDirectory(source: ByteSource): Promise<boolean> {
  const start = Buffer.from(await source.read(0, 512)).toString('latin1');
  return /^[^]{128}DICM[^]*1\.2\.840\.10008\.1\.3\.10[\0 ]?/.test(start);
}

/** The names in a DICOMDIR, upper case, joined by slashes; null when the file is none. */
async function directoryOf(path: string, sizeBytes: number): Promise<string[] | null> {
  if (sizeBytes > largestDirectory) return null;
  const source = await openFileSource(path);
  try {
    const opened = await openDicom(source, { inflate });
    // Damaged, it is still no picture: its meta header names the class of directories (PS3.3 F).
    if (!opened.ok) return (await saysDirectory(source)) ? [] : null;
    if (opened.value.dataSet.elements.get('x00041220') === undefined) return null;
    return readDirectory(opened.value.dataSet).map((record) => record.path.join('/').toUpperCase());
  } finally {
    await source.close();
  }
}
