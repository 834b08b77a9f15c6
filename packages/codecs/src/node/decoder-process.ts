/** Entry of the decoder process: takes one request over IPC, answers once, ends. Started by `readOriginalInChild` only. */
import type { ReadOriginalRequest } from '../reading';
import { greyFrames } from './grey-frames';
import { inspect } from './inspect';
import { exactFrame, makePacks } from './make-packs';
import { unpack } from './unpack';

type FromParent = { readonly request: ReadOriginalRequest; readonly outputMb: number };

function resultOf(request: ReadOriginalRequest, outputMb: number): Promise<unknown> {
  switch (request.kind) {
    case 'make-packs':
      return makePacks(request, { outputMb, onOwn: (own) => process.send?.({ kind: 'own', own }) });
    case 'unpack':
      return unpack(request);
    case 'inspect':
      return inspect(request);
    case 'grey-frames':
      return greyFrames(request, outputMb);
    case 'read-report':
      // Loaded when a report comes: the list of all measurements would make every start slower.
      return import('./report-of').then(({ reportOf }) => reportOf(request));
    default:
      return exactFrame(request);
  }
}

async function answer({ request, outputMb }: FromParent): Promise<void> {
  const result = await resultOf(request, outputMb);
  process.send?.({ kind: 'result', result }, undefined, undefined, () => process.exit(0));
}

process.once('message', (message) => {
  answer(message as FromParent).catch((thrown: unknown) => {
    const code = (thrown as NodeJS.ErrnoException).code;
    const problem =
      code === 'ENOENT' ? 'ORIGINAL_NOT_THERE' : code === 'ENOSPC' ? 'DISK_FULL' : 'DECODER_CRASHED';
    const result = { ok: false, problem: { code: problem, data: {} } };
    process.send?.({ kind: 'result', result }, undefined, undefined, () => process.exit(1));
  });
});
process.once('disconnect', () => process.exit(2));
