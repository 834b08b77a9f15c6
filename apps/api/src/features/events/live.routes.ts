import type { FastifyInstance } from 'fastify';
import { AppError } from '../../platform/app-error';
import { hashToken } from '../../platform/db/database';
import { sessionToken } from '../../platform/http/session-cookie';
import type { Services } from '../../platform/services';

interface Listener {
  organisations: ReadonlySet<string>;
  send(topic: string, data: object): void;
}

/** Reading a case is logged but changes nothing that anybody must re-read. */
const SILENT = new Set(['case.opened']);

/** Server-sent events: topic and ids only; the browser re-reads through its own rights. NOTIFY may lose some, so a reconnect re-reads all. */
export async function registerLive(app: FastifyInstance, services: Services): Promise<void> {
  const listeners = new Set<Listener>();
  const stop = await services.db.listen(
    'chordae_events',
    (payload) => {
      const { p, g, r, k } = JSON.parse(payload) as {
        p: string;
        g: string | null;
        r: string | null;
        k: string;
      };
      if (SILENT.has(k)) return;
      for (const l of listeners) {
        if (l.organisations.has(p) || (g !== null && l.organisations.has(g)))
          l.send('changed', { practiceId: p, referralId: r, kind: k });
      }
    },
    () => {
      for (const l of listeners) l.send('reread', {});
    },
  );
  app.addHook('onClose', async () => stop());

  app.get('/api/live', async (request, reply) => {
    const token = sessionToken(request);
    const readOrganisations = () =>
      services.db.withSession(
        hashToken(token ?? ''),
        async (_tx, actor) => new Set(actor.memberships.map((m) => m.practiceId ?? m.groupId ?? '')),
      );
    const organisations = token ? await readOrganisations() : null;
    if (!organisations) throw new AppError('SIGNED_OUT');
    reply.hijack();
    const out = reply.raw;
    out.writeHead(200, {
      'content-type': 'text/event-stream',
      'cache-control': 'no-store',
      'x-accel-buffering': 'no',
    });
    out.write('retry: 2000\n\nevent: hello\ndata: {}\n\n');
    const listener: Listener = {
      organisations,
      send: (topic, data) => void out.write(`event: ${topic}\ndata: ${JSON.stringify(data)}\n\n`),
    };
    listeners.add(listener);
    // A beat keeps proxies from closing the line, and notices an ended session or membership.
    const beat = setInterval(() => void keepAlive(), 20_000);
    const keepAlive = async () => {
      // A database that cannot be asked just now ends no line: the next beat asks again.
      const now = await readOrganisations().catch(() => listener.organisations);
      if (!now) return out.end();
      listener.organisations = now;
      return out.write(': beat\n\n');
    };
    request.raw.on('close', () => {
      clearInterval(beat);
      listeners.delete(listener);
    });
  });
}
