import { routes } from '@chordae/contract';
import { and, desc, eq, like, not } from 'drizzle-orm';
import type { FastifyInstance } from 'fastify';
import { serve } from '../../platform/http/route-server';
import type { Services } from '../../platform/services';
import { mails } from './deliveries.tables';
import { TO_GROUP } from './tell-group';

export function registerDeliveries(app: FastifyInstance, services: Services): void {
  serve(app, services, routes.outbox, async ({ tx, params }) => {
    const rows = await tx
      .select()
      .from(mails)
      .where(and(eq(mails.practiceId, params.practiceId), not(like(mails.reason, `${TO_GROUP}%`))))
      .orderBy(desc(mails.createdAt))
      .limit(200);
    return rows.map((m) => ({
      id: m.id,
      to: m.toEmail,
      subject: m.subject,
      body: m.body,
      state: m.state,
      createdAt: m.createdAt.toISOString(),
      referralId: m.referralId,
    }));
  });
}
