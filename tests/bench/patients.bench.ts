import { spawnSync } from 'node:child_process';
import path from 'node:path';
import { and, desc, eq, sql } from 'drizzle-orm';
import type { Page } from 'playwright-core';
import postgres from 'postgres';
import { patients, weights } from '../../apps/api/src/features/cases';
import { searchPatients } from '../../apps/api/src/features/cases/patients.repository';
import { readConfig } from '../../apps/api/src/platform/config/config';
import { makeServices } from '../../apps/api/src/platform/make-services';
import { launchBrowser } from '../support/browser';
import { KillableSystem } from '../support/killable-system';
import { manyPatients } from '../support/many-patients';
import { makeWorld, PASSWORD } from '../support/world';
import { figure, median, percentile } from './figures';

/**
 * A practice of 2,000 patients and 20,000 scans over HTTP and in headless Chromium: searching, reading one patient, and
 * scrolling the list. The peer of the search is the one of before, which read the weights row by row; of the scrolling, the same page with all rows in it.
 */
const root = path.resolve(import.meta.dirname, '../..');
spawnSync(process.execPath, [path.join(root, 'infra/build.mjs')], { stdio: 'inherit' });
const PATIENTS = 2000;
const SCANS = 20_000;
const system = new KillableSystem();
await system.start();
const admin = postgres(system.databaseUrl, { max: 1, onnotice: () => {} });
const world = await makeWorld(admin);
await manyPatients(admin, world.practiceA, world.people.vetA.id, { patients: PATIENTS, scans: SCANS });

const browser = await launchBrowser();
const context = await browser.newContext({ baseURL: system.url, viewport: { width: 1440, height: 900 } });
await context.request.post('/api/sessions', { data: { email: world.people.vetA.email, password: PASSWORD } });
const at = `/api/practices/${world.practiceA}`;

async function timed(url: string, times: number): Promise<number[]> {
  const took: number[] = [];
  for (let n = 0; n < times + 3; n += 1) {
    const from = performance.now();
    const reply = await context.request.get(url);
    await reply.body();
    if (!reply.ok()) throw new Error(`${url}: ${reply.status()}`);
    // The first few warm up the connection and the plans.
    if (n >= 3) took.push(performance.now() - from);
  }
  return took;
}

const services = makeServices(
  readConfig({ DATABASE_URL: system.databaseUrl, CHORDAE_DATA: system.folder }),
  system.databaseUrl,
  'chordae_app',
  'bench',
);
/** Both searches through the application's own database role and row-level security, without HTTP. */
async function searched(find: string, oneByOne: boolean): Promise<number> {
  const from = performance.now();
  await services.db.withJob(world.practiceA, 'bench', async (tx) => {
    if (!oneByOne) return void (await searchPatients(tx, world.practiceA, find));
    const rows = await tx
      .select()
      .from(patients)
      .where(and(eq(patients.practiceId, world.practiceA), sql`lower(${patients.name}) like ${`%${find}%`}`))
      .orderBy(desc(patients.updatedAt))
      .limit(100);
    for (const row of rows)
      await tx
        .select()
        .from(weights)
        .where(and(eq(weights.practiceId, world.practiceA), eq(weights.patientId, row.id)))
        .orderBy(desc(weights.weighedOn));
  });
  return performance.now() - from;
}
const took = { inOne: [] as number[], oneByOne: [] as number[] };
for (let n = 0; n < 15; n += 1) {
  took.inOne.push(await searched('wren', false));
  took.oneByOne.push(await searched('wren', true));
}
figure('patients: search of 100 records without HTTP, median', median(took.inOne), 'ms', {
  name: 'weights row by row, as before',
  value: median(took.oneByOne),
});
await services.db.end();
const records = await timed(`${at}/patients?find=wren`, 20);
figure('patients: search of 100 records over HTTP, median', median(records), 'ms');
figure('patients: search of 100 records over HTTP, 95 %', percentile(records, 0.95), 'ms');
for (const [name, find] of [
  ['by name', 'wren'],
  ['by keeper and name', 'quillfeather zoe'],
  ['by telephone', '0007919'],
  ['by number', '1234'],
  ['all rows', ''],
] as const) {
  const took = await timed(`${at}/patient-rows?find=${encodeURIComponent(find)}`, 20);
  figure(`patients: list ${name}, median`, median(took), 'ms');
  figure(`patients: list ${name}, 95 %`, percentile(took, 0.95), 'ms');
}
const one = (await admin`select id from patients where practice_id = ${world.practiceA} limit 1`)[0];
figure(
  'patients: one page with its history, median',
  median(await timed(`${at}/patients/${one?.['id'] as string}/page`, 20)),
  'ms',
);

/** Frames shown while the page is wheeled through, by frames due at the rate of a page at rest. */
async function scroll(page: Page): Promise<{ share: number; worstMs: number; rows: number }> {
  return page.evaluate(async () => {
    const rest: number[] = [];
    let last = await new Promise<number>((resolve) => requestAnimationFrame(resolve));
    for (let n = 0; n < 60; n += 1) {
      const now = await new Promise<number>((resolve) => requestAnimationFrame(resolve));
      rest.push(now - last);
      last = now;
    }
    const due = rest.sort((a, b) => a - b)[30] ?? 16.7;
    const gaps: number[] = [];
    const from = last;
    // 3,000 rows' worth of pixels each second is faster than a hand on a wheel.
    while (last - from < 4000) {
      scrollBy(0, 60);
      if (scrollY + innerHeight >= document.documentElement.scrollHeight - 2) scrollTo(0, 0);
      const now = await new Promise<number>((resolve) => requestAnimationFrame(resolve));
      gaps.push(now - last);
      last = now;
    }
    return {
      share: gaps.length / ((last - from) / due),
      worstMs: Math.max(...gaps),
      rows: document.querySelectorAll('.patient-row').length,
    };
  });
}
const page = await context.newPage();
await page.goto(`/p/${world.practiceA}/patients`);
await page.locator('.patient-row').first().waitFor();
const windowed = await scroll(page);
figure('patients: rows drawn of 2,000', windowed.rows, 'rows');
// The peer: the same page with every row in it.
await page.evaluate(() => {
  const list = document.querySelector('.patient-rows') as HTMLElement;
  const model = list.querySelector('li') as HTMLElement;
  const height = model.offsetHeight;
  const all = document.createElement('ul');
  all.className = 'patient-rows';
  all.style.height = `${2000 * height}px`;
  for (let n = 0; n < 2000; n += 1) {
    const row = model.cloneNode(true) as HTMLElement;
    row.style.transform = `translateY(${n * height}px)`;
    all.append(row);
  }
  list.replaceWith(all);
});
const whole = await scroll(page);
figure('patients: frames shown by frames due while scrolling', windowed.share, 'share', {
  name: 'all 2,000 rows drawn',
  value: whole.share,
});
figure('patients: longest time between two frames while scrolling', windowed.worstMs, 'ms', {
  name: 'all 2,000 rows drawn',
  value: whole.worstMs,
});

await browser.close();
await admin.end();
await system.stop();
process.exit(0);
