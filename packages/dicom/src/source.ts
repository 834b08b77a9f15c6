import type { Problem } from '@chordae/contract';

/** Bytes that can be read by range: a file, a browser Blob, or memory. Reads past the end give fewer bytes. */
export interface ByteSource {
  readonly size: number;
  read(offset: number, length: number): Promise<Uint8Array>;
}

export type Read<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly problem: Problem };

export function problem(code: string, data: Problem['data'] = {}): Problem {
  return { code, data };
}

export function refuse(
  code: string,
  data: Problem['data'] = {},
): { readonly ok: false; readonly problem: Problem } {
  return { ok: false, problem: problem(code, data) };
}

export function memorySource(bytes: Uint8Array): ByteSource {
  return {
    size: bytes.length,
    read: (offset, length) =>
      Promise.resolve(bytes.subarray(offset, Math.min(bytes.length, offset + length))),
  };
}
