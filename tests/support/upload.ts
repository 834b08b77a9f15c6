import { createHash } from 'node:crypto';
import { Upload } from 'tus-js-client';
import { uuidv7 } from './test-app';
import type { OpenedReferral, Session } from './world';

/** Announces a file and sends it by tus over real HTTP; resolves when the server has acknowledged the last byte. */
export async function uploadFile(
  session: Session,
  baseUrl: string,
  d: OpenedReferral,
  fileName: string,
  bytes: Uint8Array,
  options: { arrivalId?: string; chunkSize?: number; announceHash?: boolean } = {},
): Promise<string> {
  const arrivalId = options.arrivalId ?? uuidv7();
  const sha256 = options.announceHash === false ? null : createHash('sha256').update(bytes).digest('hex');
  const announced = await session.put(`/api/practices/${d.practiceId}/arrivals/${arrivalId}`, {
    referralId: d.referralId,
    scanId: d.scanId,
    fileName,
    sizeBytes: bytes.length,
    sha256,
  });
  if (announced.status !== 200) throw new Error(`${announced.status} ${announced.raw}`);
  await send(session, baseUrl, d, arrivalId, bytes, options.chunkSize);
  return arrivalId;
}

export function send(
  session: Session,
  baseUrl: string,
  d: OpenedReferral,
  arrivalId: string,
  bytes: Uint8Array,
  chunkSize = Number.POSITIVE_INFINITY,
  uploadUrl: string | null = null,
): Promise<void> {
  return new Promise((resolve, reject) => {
    const upload = new Upload(Buffer.from(bytes), {
      endpoint: `${baseUrl}/api/uploads`,
      uploadUrl,
      chunkSize,
      retryDelays: [200, 500, 1000, 2000],
      headers: { cookie: session.cookie },
      metadata: { arrivalId, practiceId: d.practiceId },
      uploadSize: bytes.length,
      storeFingerprintForResuming: false,
      onError: reject,
      onSuccess: () => resolve(),
    });
    upload.start();
  });
}
