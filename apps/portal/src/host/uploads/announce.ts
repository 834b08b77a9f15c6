import type { MachineSays } from '@chordae/contract';
import { call } from '../api';
import type { KeptUpload } from './upload-store';

/** Tells the server of files, one after the other: it lists them in the order in which they were announced. */
export class Announcer {
  private last: Promise<unknown> = Promise.resolve();

  async announce(kept: KeptUpload, machine: MachineSays | null): Promise<void> {
    const { arrivalId, practiceId, referralId, scanId, fileName, sizeBytes, sha256 } = kept;
    const mine = this.last.then(() =>
      call('putArrival', {
        params: { practiceId, arrivalId },
        body: {
          referralId,
          scanId,
          fileName,
          sizeBytes,
          sha256,
          machine,
          filmedScreen: kept.filmed ?? false,
        },
      }),
    );
    this.last = mine.catch(() => undefined);
    await mine;
  }
}
