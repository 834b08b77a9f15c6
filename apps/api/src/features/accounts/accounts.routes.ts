import { routes } from '@chordae/contract';
import { eq } from 'drizzle-orm';
import type { FastifyInstance } from 'fastify';
import { hashToken } from '../../platform/db/database';
import { serve } from '../../platform/http/route-server';
import { clearSession, sessionToken, setSession } from '../../platform/http/session-cookie';
import type { Services } from '../../platform/services';
import { describeMe, signIn } from './accounts.service';
import { deskSettings } from './accounts.tables';

export function registerAccounts(app: FastifyInstance, services: Services): void {
  app.route({
    method: 'POST',
    url: routes.signIn.path,
    schema: { body: routes.signIn.body, response: { 200: routes.signIn.reply } },
    // Ten tries a minute and address: enough for a tired person, too few for a machine.
    config: {
      rateLimit: {
        max: 10,
        timeWindow: '1 minute',
        keyGenerator: (r) =>
          `${r.ip}|${((r.body as { email?: string } | undefined)?.email ?? '').toLowerCase()}`,
        hook: 'preHandler',
      },
    },
    handler: async (request, reply) => {
      const { email, password } = request.body as { email: string; password: string };
      const { token, until, me } = await signIn(services, email, password);
      setSession(request, reply, token, until);
      return reply.send(me);
    },
  });
  serve(app, services, routes.signOut, async ({ request, reply }) => {
    const token = sessionToken(request);
    if (token) await services.db.gate`select close_session(${hashToken(token)})`;
    clearSession(reply);
    return { ok: true as const };
  });
  serve(app, services, routes.getDeskSettings, async ({ tx, actor }) => {
    const rows = await tx.select().from(deskSettings).where(eq(deskSettings.memberId, actor.memberId));
    return rows[0]?.settings ?? { keys: {} };
  });
  serve(app, services, routes.putDeskSettings, async ({ tx, actor, body }) => {
    const row = { settings: body, updatedAt: services.clock.now() };
    await tx
      .insert(deskSettings)
      .values({ memberId: actor.memberId, ...row })
      .onConflictDoUpdate({ target: deskSettings.memberId, set: row });
    return body;
  });
  serve(app, services, routes.me, async ({ tx, actor }) => describeMe(tx, actor));
}
