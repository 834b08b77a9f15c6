import { useEffect, useState } from 'react';
import { device } from '../device';
import type { KeptUpload } from './upload-store';
import { keptUploads } from './upload-store';

export interface KeptFiles {
  /** Files of the person who is signed in that are not on the server yet. */
  readonly mine: readonly KeptUpload[];
  /** Files of others who worked in this browser: counted, never shown. */
  readonly others: number;
}
const NONE: KeptFiles = { mine: [], others: 0 };

/** Files that lie on this device, of all its tabs. */
export function useKeptFiles(): KeptFiles {
  const [files, setFiles] = useState(NONE);
  useEffect(() => {
    let gone = false;
    let shown = '';
    const look = async () => {
      const memberId = device.member()?.member.id ?? null;
      const all = (await keptUploads()).filter((u) => !u.sent);
      const next = JSON.stringify([memberId, all]);
      if (gone || next === shown) return;
      shown = next;
      const mine = all.filter((u) => u.memberId === memberId);
      setFiles({ mine, others: all.length - mine.length });
    };
    let stop: (() => void) | null = null;
    void import('./uploads').then(({ uploads }) => {
      if (gone) return;
      let states = '';
      stop = uploads.subscribe(() => {
        const now = uploads
          .read()
          .map((i) => `${i.arrivalId}${i.state}`)
          .join();
        if (now === states) return;
        states = now;
        void look();
      });
      void look();
    });
    const timer = setInterval(() => void look(), 5000);
    return () => {
      gone = true;
      stop?.();
      clearInterval(timer);
    };
  }, []);
  return files;
}
