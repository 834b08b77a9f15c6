import { type Phrase, routes } from '@chordae/contract';
import { and, asc, eq } from 'drizzle-orm';
import type { FastifyInstance } from 'fastify';
import { AppError } from '../../platform/app-error';
import type { ActorTx } from '../../platform/db/database';
import { serve } from '../../platform/http/route-server';
import type { Services } from '../../platform/services';
import { groupSettingsOf, setGroupSettings } from '../accounts';
import { phrases } from './group-work.tables';
import { marksJudged } from './marks-judged';
import { readPairs } from './read-pairs';
import { readersOf } from './readers';

/** What a reading group shares: its people's load, its settings, its phrases. */
export function registerGroupWork(app: FastifyInstance, services: Services): void {
  serve(app, services, routes.groupReaders, ({ tx, params }) => readersOf(tx, services, params.groupId));
  serve(app, services, routes.getGroupSettings, ({ tx, params }) => groupSettingsOf(tx, params.groupId));
  serve(app, services, routes.putGroupSettings, async ({ tx, params, body }) => {
    await setGroupSettings(tx, params.groupId, body);
    return groupSettingsOf(tx, params.groupId);
  });
  serve(app, services, routes.listReadPairs, ({ tx, params }) => readPairs(tx, params.groupId));
  serve(app, services, routes.listMarksJudged, ({ tx, params }) => marksJudged(tx, params.groupId));

  serve(app, services, routes.listPhrases, async ({ tx, params }) => {
    const rows = await tx
      .select()
      .from(phrases)
      .where(and(eq(phrases.groupId, params.groupId), eq(phrases.retired, false)))
      .orderBy(asc(phrases.place), asc(phrases.updatedAt));
    return rows.map(toPhrase);
  });
  serve(app, services, routes.putPhrase, async ({ tx, params, body, actor }) => {
    const made = { madeBy: actor.memberId, madeByName: actor.name, updatedAt: services.clock.now() };
    await tx
      .insert(phrases)
      .values({ groupId: params.groupId, id: params.phraseId, ...body, ...made })
      .onConflictDoUpdate({ target: [phrases.groupId, phrases.id], set: { ...body, ...made } });
    return findPhrase(tx, params.groupId, params.phraseId);
  });
}

async function findPhrase(tx: ActorTx, groupId: string, phraseId: string): Promise<Phrase> {
  const row = (
    await tx
      .select()
      .from(phrases)
      .where(and(eq(phrases.groupId, groupId), eq(phrases.id, phraseId)))
  )[0];
  if (!row) throw new AppError('NOT_FOUND');
  return toPhrase(row);
}

function toPhrase(row: typeof phrases.$inferSelect): Phrase {
  return { id: row.id, place: row.place, text: row.text, by: row.madeByName, retired: row.retired };
}
