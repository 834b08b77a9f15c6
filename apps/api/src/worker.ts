import { EventEmitter } from 'node:events';
import { Logger, run, type TaskList, type WorkerEvents } from 'graphile-worker';
import pg from 'pg';
import { assessClipJob } from './features/assessments';
import { readOriginalJob, remaskClip } from './features/clips';
import {
  queueWaitingMails,
  sendMails,
  tellGroup,
  tellPractice,
  tellReport,
  watchEmergency,
} from './features/deliveries';
import { sealEvents } from './features/events';
import { renewOpenReferrals, storeInterpretation } from './features/interpretations';
import { renderReport } from './features/scan-reports';
import { renderOpinion } from './features/signatures';
import type { Config } from './platform/config/config';
import { watchPool } from './platform/db/watch-pool';
import type { JobName, JobPayloads } from './platform/jobs/enqueue';
import { freeJobsOfDeadWorkers, openWorkerLeases } from './platform/jobs/lease';
import { smtpSender } from './platform/mail/smtp';
import { makeServices } from './platform/make-services';
import type { Services } from './platform/services';

/** The chain of stages: every job name has its work, checked by the compiler. */
export function jobTable(services: Services): { [N in JobName]: (payload: JobPayloads[N]) => Promise<void> } {
  const mail = smtpSender(services.config);
  return {
    'original.read': (p) => readOriginalJob(services, p.practiceId, p.arrivalId),
    'clip.remask': (p) => remaskClip(services, p.practiceId, p.clipId),
    'clip.assess': (p) => assessClipJob(services, p.practiceId, p.clipId),
    'case.interpret': async (p) => {
      await services.db.withJob(p.practiceId, 'interpretation', (tx, actor) =>
        storeInterpretation(tx, actor, p.practiceId, p.referralId, services.clock.now()),
      );
    },
    'opinion.render': (p) => renderOpinion(services, p.practiceId, p.signedId),
    'report.render': (p) => renderReport(services, p.practiceId, p.signedId),
    'report.tell': (p) => tellReport(services, p),
    'practice.tell': (p) => tellPractice(services, p),
    'group.tell': (p) => tellGroup(services, p),
    'emergency.watch': (p) => watchEmergency(services, p),
    'mail.send': async (p) => {
      await sendMails(services, p.practiceId, mail);
    },
  };
}

/** Two cores: one job may decode while the other answers. */
const CONCURRENCY = 2;

export async function startWorker(config: Config, databaseUrl: string) {
  const services = makeServices(config, databaseUrl, 'chordae_worker', 'worker');
  const pool = new pg.Pool({ connectionString: databaseUrl, options: '-c role=chordae_worker', max: 6 });
  watchPool(pool, (error) => services.log.warn({ error }, 'job connection lost'));
  const leases = openWorkerLeases(databaseUrl);
  await freeJobsOfDeadWorkers(databaseUrl);
  const table = jobTable(services);
  const taskList: TaskList = Object.fromEntries(
    Object.entries(table).map(([name, work]) => [
      name,
      (payload: unknown) => (work as (p: unknown) => Promise<void>)(payload),
    ]),
  );
  const logger = new Logger(() => (level, message, meta) => {
    if ((level as string) === 'error')
      services.log.error({ meta: JSON.stringify(meta?.['error'] ?? null) }, message);
  });
  // Jobs are locked under the pool's name, which graphile-worker makes up when the pool begins.
  const events: WorkerEvents = new EventEmitter();
  const holding: Promise<void>[] = [];
  events.on('pool:create', ({ workerPool }) => holding.push(leases.hold(workerPool.id)));
  const runner = await run({
    pgPool: pool,
    taskList,
    concurrency: CONCURRENCY,
    noHandleSignals: true,
    pollInterval: 2000,
    logger,
    events,
  });
  await Promise.all(holding);
  if (config.CHORDAE_SMTP_URL) await queueWaitingMails(services);
  const renewed = await renewOpenReferrals(services);
  if (renewed > 0) services.log.info({ renewed }, 'open referrals are computed again by newer rules');
  const every = (ms: number, work: () => Promise<unknown>) =>
    setInterval(
      () => void work().catch((error: unknown) => services.log.warn({ error }, 'periodic work failed')),
      ms,
    );
  const timers = [
    every(1000, () => sealEvents(services)),
    every(10_000, () => freeJobsOfDeadWorkers(databaseUrl, leases.held)),
  ];
  return {
    async stop() {
      for (const t of timers) clearInterval(t);
      await runner.stop();
      await pool.end();
      await leases.release();
      await services.db.end();
    },
  };
}
