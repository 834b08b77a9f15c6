import { mkdir, stat } from 'node:fs/promises';
import path from 'node:path';
import { FileStore } from '@tus/file-store';
import { Server as TusServer } from '@tus/server';
import { and, eq, inArray } from 'drizzle-orm';
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { AppError } from '../../platform/app-error';
import { type Actor, type ActorTx, hashToken } from '../../platform/db/database';
import { rolesIn } from '../../platform/http/route-server';
import { machineKeyOf, sessionToken } from '../../platform/http/session-cookie';
import type { Services } from '../../platform/services';
import { findReferral } from '../cases';
import { type ArrivalRow, settleArrival, uploadFolder } from './arrivals.service';
import { arrivals } from './arrivals.tables';
import { advisoryLocker } from './upload-locker';

const PATH = '/api/uploads';
const UUID = /^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/;

/** Resumable uploads by the tus protocol. Every method is authorised here before a byte reaches the tus server. */
export async function registerUploads(app: FastifyInstance, services: Services): Promise<void> {
  await mkdir(uploadFolder(services), { recursive: true });
  const tus = new TusServer({
    path: PATH,
    datastore: new FileStore({ directory: uploadFolder(services) }),
    locker: advisoryLocker(services.db),
    relativeLocation: true,
    maxSize: services.config.CHORDAE_MAX_FILE_BYTES,
    namingFunction: (_request, metadata) => metadata?.['arrivalId'] ?? '',
    async onUploadFinish(_request, upload) {
      // The last 204 is the acknowledgement: file and folder are on disk, row and job committed.
      const practiceId = upload.metadata?.['practiceId'] ?? '';
      if (!(await settleArrival(services, practiceId, upload.id)))
        throw { status_code: 500, body: 'The file could not be stored.\n' };
      return {};
    },
  });

  app.addContentTypeParser('application/offset+octet-stream', (_request, _payload, done) => done(null));
  app.route({
    method: ['POST', 'HEAD', 'PATCH', 'DELETE', 'OPTIONS'],
    url: PATH,
    handler: (request, reply) => handle(services, tus, request, reply),
  });
  app.route({
    method: ['HEAD', 'PATCH', 'DELETE', 'OPTIONS'],
    url: `${PATH}/:arrivalId`,
    handler: (request, reply) => handle(services, tus, request, reply),
  });
}

async function handle(services: Services, tus: TusServer, request: FastifyRequest, reply: FastifyReply) {
  if (request.method === 'OPTIONS') {
    reply.hijack();
    return tus.handle(request.raw, reply.raw);
  }
  const asked =
    request.method === 'POST'
      ? metadataOf(request)
      : { arrivalId: (request.params as { arrivalId: string }).arrivalId, practiceId: null };
  const row = await authorise(services, request, asked);
  // A reply is itself thenable, so it is never returned through an await: what to answer is.
  const known = await answerKnown(services, request, row);
  if (known) return reply.headers(known.headers).status(known.status).send();
  if (request.method === 'DELETE') await takeOut(services, row);
  reply.hijack();
  await tus.handle(request.raw, reply.raw);
}

/** A file taken out before it had arrived is not waited for any more. */
async function takeOut(services: Services, row: ArrivalRow): Promise<void> {
  await services.db.withJob(row.practiceId, 'arrivals', (tx) =>
    tx
      .update(arrivals)
      .set({ state: 'unreadable', problem: { code: 'UPLOAD_TAKEN_OUT', data: { fileName: row.fileName } } })
      .where(
        and(
          eq(arrivals.practiceId, row.practiceId),
          eq(arrivals.id, row.id),
          inArray(arrivals.state, ['expected', 'arriving']),
        ),
      ),
  );
}

/** Who may touch this upload: a vet or sonographer of the practice that announced it. Anybody else learns nothing. */
async function authorise(
  services: Services,
  request: FastifyRequest,
  asked: { arrivalId: string; practiceId: string | null },
): Promise<ArrivalRow> {
  const token = sessionToken(request);
  const key = token ? null : machineKeyOf(request);
  if (!token && !key) throw new AppError('SIGNED_OUT');
  if (!UUID.test(asked.arrivalId)) throw new AppError('NOT_FOUND');
  const look = async (tx: ActorTx, actor: Actor) => {
    const found = (await tx.select().from(arrivals).where(eq(arrivals.id, asked.arrivalId)))[0];
    if (!found || (asked.practiceId && asked.practiceId !== found.practiceId))
      throw new AppError('NOT_FOUND');
    if (!rolesIn(actor, found.practiceId).some((r) => r === 'referring-vet' || r === 'sonographer'))
      throw new AppError('ROLE_MISSING');
    const referral = await findReferral(tx, found.practiceId, found.referralId);
    if (['closed', 'withdrawn', 'answered'].includes(referral.state))
      throw new AppError('STATE_CHANGED', { state: referral.state });
    if (request.method === 'POST') {
      if (Number(request.headers['upload-length']) !== found.sizeBytes)
        throw new AppError(
          'FIELD_INVALID',
          {},
          { field: 'Upload-Length', message: 'The file is not as long as it was announced: pick it again.' },
        );
      await tx
        .update(arrivals)
        .set({ state: 'arriving' })
        .where(
          and(
            eq(arrivals.id, found.id),
            eq(arrivals.practiceId, found.practiceId),
            eq(arrivals.state, 'expected'),
          ),
        );
    }
    return found;
  };
  const row = token
    ? await services.db.withSession(hashToken(token), look)
    : await services.db.withMachine(hashToken(key ?? ''), look);
  if (!row) throw new AppError('SIGNED_OUT');
  return row;
}

/** Answers that the tus server would give wrongly: an upload already settled, and a second creation of one that runs. */
async function answerKnown(
  services: Services,
  request: FastifyRequest,
  row: ArrivalRow,
): Promise<{ status: number; headers: Record<string, string> } | null> {
  const location = `${PATH}/${row.id}`;
  const bytesThere = (await stat(path.join(uploadFolder(services), row.id)).catch(() => null))?.size ?? null;
  let settled = row.state !== 'expected' && row.state !== 'arriving';
  // The last byte came, then the process died: finish what the client believes finished.
  if (!settled && (bytesThere === row.sizeBytes || (bytesThere === null && row.state === 'arriving'))) {
    settled = await settleArrival(services, row.practiceId, row.id);
  }
  const complete = {
    'Tus-Resumable': '1.0.0',
    'Upload-Offset': String(row.sizeBytes),
    'Upload-Length': String(row.sizeBytes),
    'Cache-Control': 'no-store',
  };
  if (settled && request.method === 'HEAD') return { status: 200, headers: complete };
  if (settled && request.method === 'POST')
    return { status: 201, headers: { ...complete, Location: location } };
  if (settled && request.method === 'PATCH') return { status: 204, headers: complete };
  if (settled) throw new AppError('STATE_CHANGED', { state: row.state });
  if (request.method === 'POST' && bytesThere !== null)
    return { status: 201, headers: { 'Tus-Resumable': '1.0.0', Location: location } };
  return null;
}

function metadataOf(request: FastifyRequest): { arrivalId: string; practiceId: string | null } {
  const header = String(request.headers['upload-metadata'] ?? '');
  const found = new Map(
    header.split(',').map((pair) => {
      const [key = '', value = ''] = pair.trim().split(' ');
      return [key, Buffer.from(value, 'base64').toString('utf8')] as const;
    }),
  );
  return { arrivalId: found.get('arrivalId') ?? '', practiceId: found.get('practiceId') ?? '' };
}
