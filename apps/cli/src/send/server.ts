import { createReadStream } from 'node:fs';
import type { OpenScan } from '@chordae/contract';
import { Upload } from 'tus-js-client';
import type { SentFile } from './sent-state';

/** An answer of the server that trying again does not change. */
export class Refused extends Error {
  override readonly name = 'Refused';
}

export interface Server {
  self(): Promise<{ practiceId: string; practiceName: string; keyName: string }>;
  openScans(practiceId: string): Promise<OpenScan[]>;
  isKnown(practiceId: string, sha256: string): Promise<boolean>;
  announce(practiceId: string, fileName: string, file: SentFile): Promise<void>;
  send(
    practiceId: string,
    path: string,
    file: SentFile,
    resuming: boolean,
    told: (sent: number) => void,
  ): Promise<void>;
}

const CHUNK_BYTES = 8 * 1024 * 1024;

/** The server over HTTP, with a machine's key. */
export function serverAt(url: string, key: string): Server {
  const headers = { authorization: `Bearer ${key}` };
  const ask = async <T>(method: string, path: string, body?: unknown): Promise<T> => {
    const reply = await fetch(url + path, {
      method,
      headers: { ...headers, ...(body === undefined ? {} : { 'content-type': 'application/json' }) },
      body: body === undefined ? null : JSON.stringify(body),
    });
    if (reply.ok) return (await reply.json()) as T;
    const said = (await reply.json().catch(() => null)) as { message?: string } | null;
    if (reply.status === 401) throw new Refused('the server does not know this key, or it was revoked.');
    const sentence = said?.message ?? `the server answered with ${reply.status}.`;
    throw reply.status < 500 && reply.status !== 429 ? new Refused(sentence) : new Error(sentence);
  };
  const at = (practiceId: string) => `/api/practices/${practiceId}`;
  return {
    self: () => ask('GET', '/api/machine'),
    openScans: (practiceId) => ask('GET', `${at(practiceId)}/open-scans`),
    isKnown: async (practiceId, sha256) =>
      (await ask<unknown[]>('POST', `${at(practiceId)}/originals/known`, { sha256s: [sha256] })).length > 0,
    announce: async (practiceId, fileName, f) => {
      await ask('PUT', `${at(practiceId)}/arrivals/${f.arrivalId}`, {
        referralId: f.referralId,
        scanId: f.scanId,
        fileName,
        sizeBytes: f.size,
        sha256: f.sha256,
      });
    },
    send: (practiceId, path, f, resuming, told) =>
      new Promise((resolve, reject) => {
        const upload = new Upload(createReadStream(path, { highWaterMark: 1 << 20 }), {
          endpoint: `${url}/api/uploads`,
          uploadUrl: resuming ? `${url}/api/uploads/${f.arrivalId}` : null,
          uploadSize: f.size,
          chunkSize: CHUNK_BYTES,
          headers,
          metadata: { arrivalId: f.arrivalId, practiceId },
          retryDelays: [0, 1000, 3000, 5000, 10_000, 20_000],
          storeFingerprintForResuming: false,
          onProgress: told,
          onError: (error) => {
            const status = 'originalResponse' in error ? error.originalResponse?.getStatus() : undefined;
            reject(status && status >= 400 && status < 500 ? new Refused(error.message) : error);
          },
          onSuccess: () => resolve(),
        });
        upload.start();
      }),
  };
}
