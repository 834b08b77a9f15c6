/** Entry of the decoder process: takes one request over IPC, answers once, ends. Started by `readOriginalInChild` only. */
import type { ReadOriginalRequest } from '../reading';
import { exactFrame, makePacks } from './make-packs';

type FromParent = { readonly request: ReadOriginalRequest; readonly outputMb: number };

async function answer({ request, outputMb }: FromParent): Promise<void> {
  const result =
    request.kind === 'make-packs'
      ? await makePacks(request, { outputMb, onOwn: (own) => process.send?.({ kind: 'own', own }) })
      : await exactFrame(request);
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
