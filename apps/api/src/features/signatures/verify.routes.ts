import { routes, type VerifiedOpinion } from '@chordae/contract';
import type { FastifyInstance } from 'fastify';
import type { Services } from '../../platform/services';

const UNKNOWN: VerifiedOpinion = {
  known: false,
  kind: null,
  signerName: null,
  groupName: null,
  signedAt: null,
  addenda: 0,
};

/** Anybody who holds a printed opinion or scan report may ask: no session, no patient, no referral in the answer. */
export function registerVerify(app: FastifyInstance, services: Services): void {
  app.route({
    method: 'GET',
    url: routes.verifyOpinion.path,
    schema: {
      params: routes.verifyOpinion.params,
      response: { 200: routes.verifyOpinion.reply },
      summary: routes.verifyOpinion.summary,
    },
    // Enough for a person with a pile of papers; a hash cannot be guessed anyway.
    config: { rateLimit: { max: 30, timeWindow: '1 minute' } },
    handler: async (request, reply) => {
      const { sha256 } = request.params as { sha256: string };
      void reply.header('cache-control', 'no-store');
      return reply.send(await verified(services, sha256));
    },
  });
}

async function verified(services: Services, hash: string): Promise<VerifiedOpinion> {
  const rows = await services.db.gate<
    {
      kind: NonNullable<VerifiedOpinion['kind']>;
      signer_name: string;
      group_name: string;
      signed_at: Date;
      addenda: number;
    }[]
  >`select * from opinion_by_hash(${hash})`;
  const found = rows[0];
  if (!found) return UNKNOWN;
  return {
    known: true,
    kind: found.kind,
    signerName: found.signer_name,
    groupName: found.group_name,
    signedAt: found.signed_at.toISOString(),
    addenda: found.addenda,
  };
}
