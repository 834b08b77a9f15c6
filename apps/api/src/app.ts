import { randomUUID } from 'node:crypto';
import { existsSync } from 'node:fs';
import path from 'node:path';
import { routes } from '@chordae/contract';
import compress from '@fastify/compress';
import cookie from '@fastify/cookie';
import helmet from '@fastify/helmet';
import rateLimit from '@fastify/rate-limit';
import fastifyStatic from '@fastify/static';
import fastify, { type FastifyInstance, type FastifyRequest } from 'fastify';
import { serializerCompiler, validatorCompiler } from 'fastify-type-provider-zod';
import { registerAccounts } from './features/accounts';
import { registerAfterAnswer } from './features/after-answer';
import { registerArrivals, registerUploads } from './features/arrivals';
import { registerAssessments } from './features/assessments';
import { registerCaseView } from './features/case-view';
import { registerPatients, registerReferrals } from './features/cases';
import { registerClipStatements, registerClips } from './features/clips';
import { registerDeliveries } from './features/deliveries';
import { registerLive } from './features/events';
import { registerFirstFrames } from './features/first-frames';
import { registerGroupWork } from './features/group-work';
import { registerInterpretations } from './features/interpretations';
import { registerLearning } from './features/learning';
import { registerLeftWork } from './features/left-work';
import { registerMachineAccess } from './features/machine-access';
import { registerMeasurements } from './features/measurements';
import { registerMessages } from './features/messages';
import { registerMonthAccount } from './features/month-account';
import { registerHandOver, registerOpinions } from './features/opinions';
import { registerPatientWork } from './features/patient-work';
import { registerPracticePage } from './features/practice-page';
import { registerQueue } from './features/queue';
import { registerRounds } from './features/rounds';
import { registerScanReports } from './features/scan-reports';
import { registerSecondReads } from './features/second-reads';
import { registerSignatures } from './features/signatures';
import { registerTeaching } from './features/teaching';
import { AppError } from './platform/app-error';
import { handleErrors } from './platform/http/errors';
import type { Services } from './platform/services';
import { VERSION } from './platform/version';

export interface AppOptions {
  readonly services: Services;
  /** Folder of the built portal; without it only the API is served. */
  readonly portal: string | null;
  /** Key and certificate in PEM: answers by https. */
  readonly tls?: { readonly key: string; readonly cert: string } | null;
}

/** Builds the application; server.ts listens. This list is the map of the API. */
export async function buildApp({ services, portal, tls }: AppOptions): Promise<FastifyInstance> {
  // The types of an https server differ in nothing that is used here.
  const app: FastifyInstance = fastify({
    ...((tls ? { https: tls } : {}) as object),
    logger: false,
    genReqId: () => randomUUID(),
    bodyLimit: 2 * 1024 * 1024,
    trustProxy: 'loopback',
    forceCloseConnections: true,
  });
  app.setValidatorCompiler(validatorCompiler);
  app.setSerializerCompiler(serializerCompiler);
  handleErrors(app, services.log);

  await app.register(cookie);
  await app.register(helmet, {
    contentSecurityPolicy: { directives: csp, useDefaults: false },
    strictTransportSecurity: false,
    crossOriginEmbedderPolicy: false,
  });
  await app.register(rateLimit, { global: false, max: 300, timeWindow: '1 minute' });
  await app.register(compress, { global: true, threshold: 1024, encodings: ['br', 'gzip'] });
  app.addHook('onRequest', async (request) => refuseForeignOrigin(request));

  app.get(routes.health.path, async () => {
    await services.db.gate`select 1`;
    return { ok: true, version: VERSION };
  });
  registerAccounts(app, services);
  registerPatients(app, services);
  registerReferrals(app, services);
  registerArrivals(app, services);
  registerFirstFrames(app, services);
  await registerUploads(app, services);
  registerClips(app, services);
  registerClipStatements(app, services);
  registerAssessments(app, services);
  registerMeasurements(app, services);
  registerInterpretations(app, services);
  registerMessages(app, services);
  registerRounds(app, services);
  await registerLeftWork(app, services);
  registerMachineAccess(app, services);
  registerQueue(app, services);
  registerCaseView(app, services);
  registerOpinions(app, services);
  registerHandOver(app, services);
  registerSecondReads(app, services);
  registerSignatures(app, services);
  registerScanReports(app, services);
  registerDeliveries(app, services);
  registerAfterAnswer(app, services);
  registerGroupWork(app, services);
  registerPatientWork(app, services);
  registerMonthAccount(app, services);
  registerPracticePage(app, services);
  registerLearning(app, services);
  registerTeaching(app, services);
  await registerLive(app, services);
  if (portal && existsSync(path.join(portal, 'index.html'))) await servePortal(app, portal);
  return app;
}

const csp = {
  defaultSrc: ["'self'"],
  scriptSrc: ["'self'", "'wasm-unsafe-eval'"],
  styleSrc: ["'self'", "'unsafe-inline'"],
  imgSrc: ["'self'", 'blob:', 'data:'],
  workerSrc: ["'self'", 'blob:'],
  connectSrc: ["'self'"],
  fontSrc: ["'self'"],
  objectSrc: ["'none'"],
  frameAncestors: ["'none'"],
  baseUri: ["'self'"],
  formAction: ["'self'"],
};

/** A browser names the page that asks; a page from elsewhere may not change anything here. */
function refuseForeignOrigin(request: FastifyRequest): void {
  if (['GET', 'HEAD', 'OPTIONS'].includes(request.method)) return;
  const origin = request.headers.origin;
  if (origin === undefined) return;
  const host = URL.canParse(origin) ? new URL(origin).host : '';
  if (host !== request.host) throw new AppError('ORIGIN_REFUSED');
}

/** The built portal: hashed files are kept for good, the page itself is asked for again; unknown paths are pages of the portal. */
async function servePortal(app: FastifyInstance, folder: string): Promise<void> {
  await app.register(fastifyStatic, {
    root: folder,
    wildcard: false,
    index: false,
    // Its own header would go over ours.
    cacheControl: false,
    setHeaders: (reply, file) => {
      void reply.setHeader(
        'cache-control',
        file.includes(`${path.sep}assets${path.sep}`) ? 'public, max-age=31536000, immutable' : 'no-cache',
      );
    },
  });
  app.get('/*', async (request, reply) => {
    if (request.url.startsWith('/api/')) throw new AppError('NOT_FOUND');
    if (/\.[a-z0-9]+$/i.test(request.url.split('?')[0] ?? '')) throw new AppError('NOT_FOUND');
    return reply.header('cache-control', 'no-cache').sendFile('index.html');
  });
}
