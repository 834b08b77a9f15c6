import { sayKeptCount } from '@chordae/words';
import { useQueryClient } from '@tanstack/react-query';
import { useState } from 'react';
import { device, signOutAndWipe, type Unsent, unsentNow } from '../../host/device';
import { useMe } from '../../host/session';
import { Button } from '../../kit/button';
import { Dialog } from '../../kit/dialog';

/** Signs out and takes everything off this device; asks first when something of it is not sent. */
export function SignOut() {
  const me = useMe();
  const client = useQueryClient();
  const [lost, setLost] = useState<readonly Unsent[] | null>(null);
  const [busy, setBusy] = useState(false);
  const leave = async () => {
    setBusy(true);
    await signOutAndWipe(device);
    client.clear();
    // A fresh page: nothing of this one stays in memory either.
    globalThis.location.assign('/');
  };
  const ask = async () => {
    const unsent = await unsentNow(device, me?.organisations ?? []);
    if (unsent.length === 0) await leave();
    else setLost(unsent);
  };
  return (
    <>
      <Button look="quiet" disabled={busy} onClick={() => void ask()}>
        Sign out
      </Button>
      {lost ? (
        <Dialog title="Not everything is sent yet" onClose={() => setLost(null)}>
          <p>
            Signing out takes all that is kept off this device. What the server has not got yet would be lost:
          </p>
          <ul className="small-list">
            {lost.map((u) => (
              <li key={u.practice}>
                {u.practice}: {sayKeptCount(u.changes, u.files)}
              </li>
            ))}
          </ul>
          <p className="row">
            <Button look="main" onClick={() => setLost(null)}>
              Stay signed in
            </Button>
            <Button disabled={busy} onClick={() => void leave()}>
              {busy ? 'Signing out …' : 'Throw this away and sign out'}
            </Button>
          </p>
        </Dialog>
      ) : null}
    </>
  );
}
