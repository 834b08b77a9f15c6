import { useQueryClient } from '@tanstack/react-query';
import { useRouterState } from '@tanstack/react-router';
import { useEffect, useState } from 'react';
import { onSignedOut } from '../../host/api';
import { meQuery, tellSignedIn, useMe } from '../../host/session';
import { Dialog } from '../../kit/dialog';
import { SignInForm } from './sign-in';

/** When the session ends in the middle of work: sign in over the page; what was typed and what is uploading stays. */
export function SignedOutGate() {
  const me = useMe();
  const client = useQueryClient();
  const [out, setOut] = useState(false);
  const onSignIn = useRouterState({ select: (s) => ['/', '/sign-in', '/how'].includes(s.location.pathname) });
  useEffect(() => onSignedOut(() => setOut(Boolean(client.getQueryData(meQuery.queryKey)))), [client]);
  if (!out || onSignIn || !me) return null;
  return (
    <Dialog title="Your session has ended">
      <p>Sign in again. What you typed is still on the page, and uploads go on from where they were.</p>
      <SignInForm
        email={me.member.email}
        onDone={(again) => {
          if (again.member.id !== me.member.id) {
            // Another person: nothing of the former page may stay in sight.
            client.clear();
            client.setQueryData(meQuery.queryKey, again);
            window.location.assign('/');
            return;
          }
          client.setQueryData(meQuery.queryKey, again);
          setOut(false);
          tellSignedIn();
          void client.invalidateQueries();
        }}
      />
    </Dialog>
  );
}
