import type { Access, Role, RouteShape } from '@chordae/contract';
import { sql } from 'drizzle-orm';
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import type { z } from 'zod';
import { AppError } from '../app-error';
import type { Actor, ActorTx } from '../db/database';
import { hashToken } from '../db/database';
import type { Services } from '../services';
import { machineKeyOf, sessionToken } from './session-cookie';

type Parsed<S> = S extends z.ZodType ? z.output<S> : undefined;
type Reply<S> = S extends z.ZodType ? z.input<S> : void;

/** The referral that a `case` path names, as row-level security showed it to the actor. */
export interface CaseRef {
  readonly practiceId: string;
  readonly referralId: string;
  readonly groupId: string | null;
  readonly state: string;
  readonly revision: number;
  readonly side: 'practice' | 'group';
}

export interface Context<R extends RouteShape> {
  readonly params: Parsed<R['params']>;
  readonly query: Parsed<R['query']>;
  readonly body: Parsed<R['body']>;
  readonly actor: Actor & { readonly memberId: string };
  readonly tx: ActorTx;
  /** Set for paths under /api/cases. */
  readonly onCase: CaseRef;
  readonly request: FastifyRequest;
  readonly reply: FastifyReply;
}

/** Serves one contract route: parse, enter as the session's member, check the role, work, all in one transaction. */
export function serve<R extends RouteShape>(
  app: FastifyInstance,
  services: Services,
  shape: R,
  handler: (context: Context<R>) => Promise<Reply<R['reply']>>,
): void {
  app.route({
    method: shape.method,
    url: shape.path,
    schema: {
      ...(shape.params ? { params: shape.params } : {}),
      ...(shape.query ? { querystring: shape.query } : {}),
      ...(shape.body ? { body: shape.body } : {}),
      ...(shape.reply ? { response: { 200: shape.reply } } : {}),
      summary: shape.summary,
    },
    handler: async (request, reply) => {
      const done = await entered(services, shape, request, async (tx, actor) => {
        const member = actor as Actor & { memberId: string };
        const onCase = await checkAccess(tx, member, shape, request.params as Record<string, string>);
        const context = {
          params: request.params,
          query: request.query,
          body: request.body,
          actor: member,
          tx,
          onCase,
          request,
          reply,
        };
        return { value: await handler(context as unknown as Context<R>) };
      });
      if (!done) throw new AppError('SIGNED_OUT');
      if (shape.reply === null) return reply;
      return reply.send(done.value);
    },
  });
}

/** Enters as the session's member, or as a machine where the route takes its key; a key anywhere else opens nothing. */
function entered<T>(
  services: Services,
  shape: RouteShape,
  request: FastifyRequest,
  work: (tx: ActorTx, actor: Actor) => Promise<T>,
): Promise<T | null> {
  const token = sessionToken(request);
  if (token) return services.db.withSession(hashToken(token), work);
  const key = shape.machine ? machineKeyOf(request) : null;
  if (key) return services.db.withMachine(hashToken(key), work);
  throw new AppError('SIGNED_OUT');
}

/** Roles of the actor in an organisation; empty when not a member there. */
export function rolesIn(actor: Actor, organisationId: string): Role[] {
  return actor.memberships
    .filter((m) => m.practiceId === organisationId || m.groupId === organisationId)
    .map((m) => m.role);
}

async function checkAccess(
  tx: ActorTx,
  actor: Actor,
  shape: RouteShape,
  params: Record<string, string>,
): Promise<CaseRef> {
  const access: Access = shape.access;
  if (access === 'public' || access === 'member') return none;
  if (shape.path.startsWith('/api/cases/')) return caseAccess(tx, actor, access, params);
  const wanted = params['practiceId']
    ? { at: params['practiceId'], roles: access.practice }
    : { at: params['groupId'] ?? '', roles: access.group };
  requireRole(actor, wanted.at, wanted.roles ?? []);
  return none;
}

const none = Object.freeze({
  practiceId: '',
  referralId: '',
  groupId: null,
  state: '',
  revision: 0,
  side: 'practice',
}) as CaseRef;

/** Not a member: 'not found', so that nothing is told about what exists elsewhere. Member without the role: said so. */
function requireRole(actor: Actor, organisationId: string, allowed: readonly Role[]): void {
  const held = rolesIn(actor, organisationId);
  if (held.length === 0) throw new AppError('NOT_FOUND');
  if (!held.some((r) => allowed.includes(r)))
    throw new AppError('ROLE_MISSING', { needs: allowed.join(', ') });
}

async function caseAccess(
  tx: ActorTx,
  actor: Actor,
  access: Exclude<Access, string>,
  params: Record<string, string>,
): Promise<CaseRef> {
  const rows = await tx.execute<{ group_id: string | null; state: string; revision: number }>(
    sql`select group_id, state, revision from referrals where practice_id = ${params['practiceId']} and id = ${params['referralId']}`,
  );
  const row = rows[0];
  if (!row) throw new AppError('NOT_FOUND');
  const practiceId = params['practiceId'] ?? '';
  const here = {
    practiceId,
    referralId: params['referralId'] ?? '',
    groupId: row.group_id,
    state: row.state,
    revision: row.revision,
  };
  const practiceRoles = rolesIn(actor, practiceId);
  const groupRoles = row.group_id ? rolesIn(actor, row.group_id) : [];
  if (practiceRoles.some((r) => access.practice?.includes(r))) return { ...here, side: 'practice' };
  if (groupRoles.some((r) => access.group?.includes(r))) return { ...here, side: 'group' };
  throw new AppError('ROLE_MISSING', {
    needs: [...(access.practice ?? []), ...(access.group ?? [])].join(', '),
  });
}
