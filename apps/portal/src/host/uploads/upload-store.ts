import type { MaskDecisionSaid, ViewId } from '@chordae/contract';
import type { DBSchema, IDBPDatabase } from 'idb';
import { openDB } from 'idb';
import { uuidv7 } from '../uuid';

/** An upload that is not finished, as it survives a reload. The bytes lie beside it in the browser's own file store. */
export interface KeptUpload {
  readonly arrivalId: string;
  readonly practiceId: string;
  readonly referralId: string;
  readonly scanId: string;
  readonly fileName: string;
  readonly sizeBytes: number;
  readonly sha256: string | null;
  readonly announced: boolean;
  /** Who dropped it here; nobody else is shown it. */
  readonly memberId: string;
  /** Place in the order in which files were dropped; a clock orders nothing. */
  readonly seq: number;
  /** What the sender says it shows: given to its clip when the server has read it. */
  readonly view: ViewId | null;
  /** Its bytes are on the server; only its view is still to be given. */
  readonly sent: boolean;
  /** Its first frame is on the server; absent in what an older page has kept. */
  readonly framed?: boolean;
  /** What the sender says may leave of it, where the file does not say it. */
  readonly decision?: MaskDecisionSaid | null;
  /** Filmed or photographed from a screen. */
  readonly filmed?: boolean;
  /** Its upload was created on the server: going on asks there how much has come. */
  readonly begun?: boolean;
}

export interface UploadPlace {
  readonly practiceId: string;
  readonly referralId: string;
  readonly scanId: string;
}

/** A file just dropped, of which nothing is known yet. */
export function newUpload(
  place: UploadPlace & { readonly filmed?: boolean },
  file: File,
  memberId: string,
  seq: number,
): KeptUpload {
  return {
    ...place,
    arrivalId: uuidv7(),
    fileName: file.name,
    sizeBytes: file.size,
    sha256: null,
    announced: false,
    memberId,
    seq,
    view: null,
    sent: false,
    framed: false,
    decision: null,
    begun: false,
  };
}

interface Schema extends DBSchema {
  uploads: { key: string; value: KeptUpload };
}

let database: Promise<IDBPDatabase<Schema>> | null = null;
function open(): Promise<IDBPDatabase<Schema>> {
  database ??= openDB<Schema>('chordae-uploads', 1, {
    upgrade: (db) => void db.createObjectStore('uploads', { keyPath: 'arrivalId' }),
  });
  return database;
}

/** All of these fail softly: without a store an upload runs as well, it only does not survive a reload. */
export async function keepUpload(upload: KeptUpload): Promise<void> {
  await open()
    .then((db) => db.put('uploads', upload))
    .catch(() => undefined);
}

export async function dropUpload(arrivalId: string): Promise<void> {
  await open()
    .then((db) => db.delete('uploads', arrivalId))
    .catch(() => undefined);
  await dropFile(arrivalId);
}

export async function dropFile(arrivalId: string): Promise<void> {
  await fileFolder()
    .then((folder) => folder?.removeEntry(arrivalId))
    .catch(() => undefined);
}

/** Everything that is kept here, in the order in which it was dropped. */
export async function keptUploads(): Promise<KeptUpload[]> {
  const all = await open()
    .then((db) => db.getAll('uploads'))
    .catch(() => []);
  return all.sort((a, b) => (a.seq ?? 0) - (b.seq ?? 0) || (a.arrivalId < b.arrivalId ? -1 : 1));
}

/** Lets go of files that lie in the store without a record: a page was killed between the two. */
export async function dropStrayFiles(): Promise<void> {
  const known = new Set((await keptUploads()).map((u) => u.arrivalId));
  const folder = (await fileFolder().catch(() => null)) as
    | (FileSystemDirectoryHandle & { keys(): AsyncIterable<string> })
    | null;
  if (!folder) return;
  const strays: string[] = [];
  for await (const name of folder.keys()) if (!known.has(name)) strays.push(name);
  for (const name of strays) await folder.removeEntry(name).catch(() => undefined);
}

async function fileFolder(): Promise<FileSystemDirectoryHandle | null> {
  if (!('storage' in navigator) || !navigator.storage.getDirectory) return null;
  return (await navigator.storage.getDirectory()).getDirectoryHandle('uploads', { create: true });
}

/** Copies a file into the browser's own store, so that a reload can go on; false where there is no room or no store. */
export async function keepFile(arrivalId: string, file: File): Promise<boolean> {
  try {
    const folder = await fileFolder();
    if (!folder) return false;
    const { quota = 0, usage = 0 } = await navigator.storage.estimate();
    if (quota - usage < file.size * 1.2) return false;
    const handle = await folder.getFileHandle(arrivalId, { create: true });
    await file.stream().pipeTo(await handle.createWritable());
    return true;
  } catch {
    return false;
  }
}

/** The kept copy, if it is whole. */
export async function keptFile(upload: KeptUpload): Promise<File | null> {
  try {
    const handle = await (await fileFolder())?.getFileHandle(upload.arrivalId);
    const file = (await handle?.getFile()) ?? null;
    return file && file.size === upload.sizeBytes ? file : null;
  } catch {
    return null;
  }
}
