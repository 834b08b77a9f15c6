import { call } from '../api';
import { type FirstFramePorts, FirstFrames, makeInWorker } from '../first-frames/first-frames';
import type { KeptUpload } from './upload-store';

/** First frames of the files of this page, sent over its line. */
export function firstFramesOver(
  ports: Pick<FirstFramePorts, 'mayGo' | 'announce' | 'sent'> & {
    readonly kept: (arrivalId: string) => KeptUpload | undefined;
  },
): FirstFrames {
  return new FirstFrames({
    ...ports,
    make: makeInWorker(),
    put: async (arrivalId, body) => {
      const practiceId = ports.kept(arrivalId)?.practiceId;
      if (practiceId) await call('putFirstFrame', { params: { practiceId, arrivalId }, body });
    },
    viewOf: (arrivalId) => ports.kept(arrivalId)?.view ?? null,
    nowMs: () => Date.now(),
    later: (run, ms) => void setTimeout(run, ms),
    pictureUrl: (jpeg) =>
      URL.createObjectURL(new Blob([jpeg as Uint8Array<ArrayBuffer>], { type: 'image/jpeg' })),
    forget: (pictureUrl) => URL.revokeObjectURL(pictureUrl),
  });
}
