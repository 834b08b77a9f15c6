import type { ClipDescription, MachineSays } from '@chordae/contract';
import { sayProblem } from '@chordae/words';
import { isLitter } from './upload-state';

/** A picked file with what its header says; null where only the server can read it. */
export interface StickFile {
  readonly file: File;
  readonly header: { readonly description: ClipDescription; readonly machine: MachineSays } | null;
}

export interface ReadStick {
  readonly files: readonly StickFile[];
  /** What is no image, with the reason; nothing of it is sent. */
  readonly left: readonly { readonly fileName: string; readonly why: string }[];
}

const AT_ONCE = 6;
/** Files that a browser does not open, and reports without a picture: the server reads them. */
const READ_THERE = new Set(['READ_AFTER_UPLOAD', 'DICOM_REPORT']);

/** Reads the headers of all picked files, a few at a time; nothing is sent. `told` hears how many are done. */
export async function readStick(picked: readonly File[], told: (done: number) => void): Promise<ReadStick> {
  const { readHeaderInBrowser } = await import('@chordae/codecs/browser');
  const wanted = picked.filter((file) => !isLitter(file.name));
  const out: (StickFile | { readonly fileName: string; readonly why: string })[] = [];
  let next = 0;
  let done = 0;
  const work = async () => {
    for (let n = next++; n < wanted.length; n = next++) {
      const file = wanted[n];
      if (!file) continue;
      out[n] = await readOne(file, readHeaderInBrowser);
      done += 1;
      told(done);
    }
  };
  await Promise.all(Array.from({ length: Math.min(AT_ONCE, wanted.length) }, work));
  return {
    files: out.filter((o): o is StickFile => 'file' in o),
    left: out.filter((o) => !('file' in o)) as ReadStick['left'],
  };
}

async function readOne(
  file: File,
  read: typeof import('@chordae/codecs/browser').readHeaderInBrowser,
): Promise<StickFile | { readonly fileName: string; readonly why: string }> {
  if (file.size === 0) return { fileName: file.name, why: 'The file is empty.' };
  const header = await read(file).catch(() => null);
  if (header?.ok) return { file, header: header.value };
  if (!header || READ_THERE.has(header.problem.code)) return { file, header: null };
  return { fileName: file.name, why: sayProblem(header.problem) };
}
