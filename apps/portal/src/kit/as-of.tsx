import type { RouteName } from '@chordae/contract';
import type { Ask } from '../host/api';
import { useAsOf } from '../host/device';
import { Time } from './time';

/** Says quietly that what is shown is kept, and since when. Nothing while the server itself answered. */
export function AsOf({
  route,
  params,
  query,
}: {
  route: RouteName;
  params: Ask['params'];
  query?: Ask['query'];
}) {
  const at = useAsOf(route, params, query);
  if (at === undefined) return null;
  return (
    <p className="hint">
      {at === null ? (
        'Made on this device; the server does not have it yet.'
      ) : (
        <>
          As of <Time at={at} />, kept on this device.
        </>
      )}
    </p>
  );
}
