import { readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';

/** One file of the folder, as far as it has come. `size` and `changedMs` tell whether it is still the same file. */
export interface SentFile {
  readonly size: number;
  readonly changedMs: number;
  readonly arrivalId: string;
  readonly referralId: string;
  readonly scanId: string;
  readonly sha256: string;
  readonly state: 'announced' | 'sent' | 'known';
}

/** What has been sent from a folder, kept beside it, so that a run that was cut off goes on and sends nothing twice. */
export interface SentState {
  get(name: string, size: number, changedMs: number): SentFile | null;
  put(name: string, file: SentFile): void;
}

/** `lost` hears why it could not be written down, such as a full disk: then it holds for this run only. */
export function openSentState(file: string, lost: (why: string) => void): SentState {
  let kept: Record<string, SentFile> = {};
  try {
    const read = JSON.parse(readFileSync(file, 'utf8')) as { schema?: number; files?: typeof kept };
    if (read.schema === 1 && read.files) kept = read.files;
  } catch {
    // None yet, or torn by a crash in the middle of writing: the server recognises files that it has.
  }
  return {
    get(name, size, changedMs) {
      const found = kept[name];
      return found && found.size === size && found.changedMs === changedMs ? found : null;
    },
    put(name, entry) {
      kept = { ...kept, [name]: entry };
      const part = `${file}.part`;
      try {
        writeFileSync(part, JSON.stringify({ schema: 1, files: kept }, null, 1));
        renameSync(part, file);
      } catch (error) {
        // Half a state must not stand in the way of the next one.
        rmSync(part, { force: true });
        lost(error instanceof Error && 'code' in error ? String(error.code) : String(error));
      }
    },
  };
}
