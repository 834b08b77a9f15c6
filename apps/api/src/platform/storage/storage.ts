import type { Readable } from 'node:stream';

/** Where bytes live. Keys are random; nothing about patient or practice stands in them. */
export interface Storage {
  /** Takes a finished local file over under `key`; when it returns, file and folder are on disk. */
  takeFile(key: string, localPath: string): Promise<void>;
  /** Stores bytes under `key`, durably. */
  putBytes(key: string, bytes: Uint8Array): Promise<void>;
  /** Size in bytes, or null when there is nothing under `key`. */
  size(key: string): Promise<number | null>;
  /** Bytes from `start` to `end`, both inclusive. */
  read(key: string, range?: { start: number; end: number }): Readable;
  /** Runs `work` with a local path of the object (a store elsewhere fetches it first and clears up afterwards). */
  withLocalFile<T>(key: string, work: (path: string) => Promise<T>): Promise<T>;
  remove(key: string): Promise<void>;
}
