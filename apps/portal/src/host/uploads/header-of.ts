import type { HeaderSays } from '@chordae/codecs/browser';
import { sayProblem } from '@chordae/words';
import { READ_THERE, REFUSED } from './upload-words';

/** What a picked file says of itself before it is sent, or why it is not sent. */
export type FileSays =
  | { readonly refused: string }
  /** `header` is null where only the server can read it; `look`: its pictures may be looked at here. */
  | { readonly header: HeaderSays | null; readonly look: boolean };

/** Reads the header of a picked file; what only the server can read is sent unseen, and it says there what it is. */
export async function headerOf(file: File): Promise<FileSays> {
  if (file.size === 0) return { refused: 'The file is empty.' };
  const { readHeaderInBrowser } = await import('@chordae/codecs/browser');
  const read = await readHeaderInBrowser(file).catch(() => null);
  if (read?.ok) return { header: read.value, look: true };
  if (!read) return { header: null, look: false };
  const { code } = read.problem;
  if (!READ_THERE.has(code)) return { refused: REFUSED[code] ?? sayProblem(read.problem) };
  return { header: null, look: code === 'READ_AFTER_UPLOAD' };
}
