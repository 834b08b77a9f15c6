import { useEffect, useSyncExternalStore } from 'react';
import type { UploadItem } from '../../host/uploads/upload-state';
import { uploads } from '../../host/uploads/uploads';
import type { CasePlace } from '../../host/use-case';
import { useRereadCase } from '../../host/use-case';

/** Uploads of one referral; what an earlier page left unfinished goes on. */
export function useUploads(place: CasePlace): readonly UploadItem[] {
  const all = useSyncExternalStore(uploads.subscribe, uploads.read);
  useEffect(() => void uploads.restore(), []);
  useEffect(() => uploads.shown.show(place.referralId), [place.referralId]);
  const mine = all.filter((i) => i.referralId === place.referralId);
  const reread = useRereadCase(place);
  const done = mine.filter((i) => i.state === 'done').length;
  useEffect(() => {
    if (done > 0) void reread();
    // Read again when one more has arrived.
  }, [done]);
  return mine;
}
