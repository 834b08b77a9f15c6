import { routes } from '@chordae/contract';
import type { FastifyInstance } from 'fastify';
import { serve } from '../../platform/http/route-server';
import type { Services } from '../../platform/services';
import { sendBytes } from '../clips';
import { findOnShelf, putOnShelf, setConsent, shelfOf, takeOff, teachingState } from './teaching.service';

/** The teaching shelf: consent of the practice, choice of the readers, and clips that name nobody. */
export function registerTeaching(app: FastifyInstance, services: Services): void {
  serve(app, services, routes.getTeaching, ({ tx, params }) => teachingState(tx, params));

  serve(app, services, routes.putTeachingConsent, async ({ tx, params, body, actor }) => {
    await setConsent(tx, actor, params, body.given, services.clock.now());
    return teachingState(tx, params);
  });

  serve(app, services, routes.listShelf, ({ tx, query }) => shelfOf(tx, query.view));

  serve(app, services, routes.shelfPack, async ({ tx, params, request, reply }) => {
    const clip = await findOnShelf(tx, params);
    // Asked for again each time: a clip that was taken off must not play from a browser's store.
    await sendBytes(services, request, reply, {
      key: clip.storageKey,
      size: clip.sizeBytes,
      etag: clip.sha256,
      changes: true,
    });
  });

  serve(app, services, routes.putShelfClip, ({ tx, params, body, actor }) => {
    const { nothingNamed: _confirmed, ...entry } = body;
    return putOnShelf(tx, services, actor, { ...params, ...entry });
  });

  serve(app, services, routes.takeShelfClipOff, async ({ tx, params }) => {
    await takeOff(tx, params, services.clock.now());
    return { ok: true as const };
  });
}
