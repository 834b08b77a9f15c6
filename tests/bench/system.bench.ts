import { spawnSync } from 'node:child_process';
import { once } from 'node:events';
import { copyFileSync, createWriteStream, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { makePhantomClip, phantomDicom, seededRandom } from '@chordae/phantom';
import postgres from 'postgres';
import sharp from 'sharp';
import { uuidv7 } from '../../apps/api/src/platform/uuid';
import { KillableSystem } from '../support/killable-system';
import { makeWorld, PASSWORD, type World } from '../support/world';
import { figure, median, percentile } from './figures';

/** API, worker and database as they run: a clip from last byte to playing, the queue's page, memory idle and under a large upload. */
const root = path.resolve(import.meta.dirname, '../..');
spawnSync(process.execPath, [path.join(root, 'infra/build.mjs')], { stdio: 'inherit' });
const system = new KillableSystem();
await system.start();
const sql = postgres(system.databaseUrl, { max: 2, onnotice: () => {} });
const world: World = await makeWorld(sql);

async function signIn(email: string): Promise<string> {
  for (;;) {
    const reply = await fetch(`${system.url}/api/sessions`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ email, password: PASSWORD }),
    }).catch(() => null);
    if (reply?.ok)
      return reply.headers
        .getSetCookie()
        .map((c) => c.split(';')[0])
        .join('; ');
    await new Promise((r) => setTimeout(r, 200));
  }
}
const cookie = await signIn(world.people.vetA.email);
const call = async (method: string, url: string, body?: unknown) => {
  const reply = await fetch(system.url + url, {
    method,
    headers: { cookie, ...(body ? { 'content-type': 'application/json' } : {}) },
    ...(body ? { body: JSON.stringify(body) } : {}),
  });
  if (!reply.ok) throw new Error(`${method} ${url}: ${reply.status} ${await reply.text()}`);
  return reply;
};

async function openDraft() {
  const d = { patientId: uuidv7(), referralId: uuidv7(), scanId: uuidv7() };
  const at = `/api/practices/${world.practiceA}`;
  await call('PUT', `${at}/patients/${d.patientId}`, {
    name: 'Bench',
    species: 'dog',
    breedCode: null,
    breedText: '',
    sex: 'female',
    neutered: null,
    birthDate: null,
    birthPrecision: null,
    chip: null,
  });
  await call('PUT', `${at}/referrals/${d.referralId}`, {
    patientId: d.patientId,
    groupId: world.group,
    plan: 'collapse',
    scanId: d.scanId,
    scannedOn: '2026-11-25',
  });
  return d;
}

/** Announces and creates an upload; gives its address. */
async function createUpload(
  d: { referralId: string; scanId: string },
  fileName: string,
  sizeBytes: number,
): Promise<{ arrivalId: string; url: string }> {
  const arrivalId = uuidv7();
  await call('PUT', `/api/practices/${world.practiceA}/arrivals/${arrivalId}`, {
    referralId: d.referralId,
    scanId: d.scanId,
    fileName,
    sizeBytes,
    sha256: null,
  });
  const meta = `arrivalId ${Buffer.from(arrivalId).toString('base64')},practiceId ${Buffer.from(world.practiceA).toString('base64')}`;
  await fetch(`${system.url}/api/uploads`, {
    method: 'POST',
    headers: {
      cookie,
      'tus-resumable': '1.0.0',
      'upload-length': String(sizeBytes),
      'upload-metadata': meta,
    },
  });
  return { arrivalId, url: `${system.url}/api/uploads/${arrivalId}` };
}
const patch = (url: string, offset: number, body: Uint8Array<ArrayBuffer>) =>
  fetch(url, {
    method: 'PATCH',
    headers: {
      cookie,
      'tus-resumable': '1.0.0',
      'upload-offset': String(offset),
      'content-type': 'application/offset+octet-stream',
    },
    body,
  });

function rssMb(part: string): number {
  const found = spawnSync('pgrep', ['-f', `dist/chordae.js ${part}`], { encoding: 'utf8' })
    .stdout.trim()
    .split('\n');
  const own = found.filter((pid) => {
    try {
      return readFileSync(`/proc/${pid}/environ`, 'utf8').includes(system.folder);
    } catch {
      return false;
    }
  });
  return Math.max(
    0,
    ...own.map(
      (pid) => Number(/VmRSS:\s+(\d+)/.exec(readFileSync(`/proc/${pid}/status`, 'utf8'))?.[1] ?? 0) / 1024,
    ),
  );
}

async function clip(): Promise<void> {
  const random = seededRandom(5);
  const drawn = makePhantomClip(
    {
      view: 'rps-short-papillary',
      species: 'dog',
      weightKg: 20,
      heart: 'normal',
      heartRate: 100,
      frameCount: 60,
      frameTimeMs: 33,
      words: { patientLine: 'BENCH', secondLine: '', viewLine: '' },
    },
    random,
  );
  const frames = await Promise.all(
    drawn.frames.map((luma) =>
      sharp(luma, { raw: { width: 800, height: 600, channels: 1 } })
        .jpeg({ quality: 97 })
        .toBuffer(),
    ),
  );
  // Repeated until the file has the size that the figure speaks of.
  const many = Array.from(
    { length: Math.ceil(10_000_000 / (frames.reduce((a, b) => a + b.length, 0) / frames.length)) },
    (_v, n) => frames[n % frames.length] as Buffer,
  );
  const long = { ...drawn, frames: many.map(() => drawn.frames[0] as Uint8Array) };
  const patient = {
    name: 'BENCH',
    number: '1',
    breed: '',
    sex: 'O' as const,
    neutered: null,
    birthDate: '',
    scanDate: '20261125',
    scanTime: '100000',
    keeper: '',
  };
  const bytes = Buffer.from(phantomDicom(long, patient, { coding: 'jpeg', frames: many }, random));
  const times: number[] = [];
  for (let n = 0; n < 3; n += 1) {
    const d = await openDraft();
    const mine = Buffer.concat([bytes, Buffer.alloc(0)]);
    // Another patient number in each round: the same bytes would be recognised.
    mine.write(String(n), mine.indexOf('BENCH'), 'latin1');
    const up = await createUpload(d, 'ten.dcm', mine.length);
    await patch(up.url, 0, mine);
    const from = performance.now();
    for (;;) {
      const view = (await (await call('GET', `/api/cases/${world.practiceA}/${d.referralId}`)).json()) as {
        clips: { id: string }[];
      };
      const first = view.clips[0];
      if (first) {
        const head = await fetch(
          `${system.url}/api/cases/${world.practiceA}/${d.referralId}/clips/${first.id}/pack`,
          { headers: { cookie, range: 'bytes=0-400000' } },
        );
        if (head.status === 206) {
          await head.arrayBuffer();
          times.push((performance.now() - from) / 1000);
          break;
        }
      }
      await new Promise((r) => setTimeout(r, 25));
    }
  }
  const folder = mkdtempSync(path.join(os.tmpdir(), 'chordae-bench-'));
  const file = path.join(folder, 'ten.dcm');
  const stream = createWriteStream(file);
  stream.end(bytes);
  await once(stream, 'close');
  const from = performance.now();
  copyFileSync(file, `${file}.copy`);
  const dcmtk = spawnSync('dcmdjpeg', [file, `${file}.raw`]).status === 0;
  const peer = (performance.now() - from) / 1000;
  rmSync(folder, { recursive: true });
  figure(
    `10 MB JPEG-baseline clip (${many.length} frames): from last byte to playing, aim 2 s`,
    median(times),
    's',
    { name: dcmtk ? 'dcmdjpeg of the same file' : 'plain copy of the file', value: peer },
  );
}

async function queue(): Promise<void> {
  const d = await openDraft();
  await sql`insert into referrals (practice_id, id, group_id, wanted_group_id, patient_id, number, state, plan, question, urgency, urgency_rank, urgency_proposed, sent_at, due_at, created_by, patient_sent)
    select ${world.practiceA}, gen_random_uuid(), ${world.group}, ${world.group}, ${d.patientId}, 10000 + n, 'sent', 'collapse', 'How far?', (array['emergency', 'urgent', 'routine'])[1 + n % 3], n % 3, 'routine', now() - n * interval '1 minute', now() + n * interval '1 minute', ${world.people.vetA.id},
      jsonb_build_object('id', ${d.patientId}::text, 'number', 1, 'revision', 1, 'name', 'Bench ' || n, 'species', 'dog', 'breedCode', null, 'breedText', '', 'sex', 'female', 'neutered', null, 'birthDate', null, 'birthPrecision', null, 'chip', null, 'weight', null, 'ageMonths', null)
    from generate_series(1, 1000) n`;
  await sql`analyze`;
  const readers = await signIn(world.people.cardiologist.email);
  const timed = async (url: string, count: number) => {
    const times: number[] = [];
    for (let n = 0; n < count; n += 1) {
      const from = performance.now();
      const reply = await fetch(system.url + url, { headers: { cookie: readers } });
      await reply.arrayBuffer();
      times.push(performance.now() - from);
    }
    return times.slice(5);
  };
  const times = await timed(`/api/groups/${world.group}/queue`, 45);
  const health = await timed('/api/health', 45);
  figure('queue page of 1,000 referrals at the API, median, aim 100 ms', median(times), 'ms', {
    name: 'health check of the same server',
    value: median(health),
  });
  figure('queue page of 1,000 referrals at the API, p95', percentile(times, 0.95), 'ms');
}

async function memory(): Promise<void> {
  await new Promise((r) => setTimeout(r, 3000));
  const idle = { api: rssMb('serve'), worker: rssMb('worker') };
  figure('API idle, resident', idle.api, 'MB');
  figure('worker idle, resident', idle.worker, 'MB');
  figure('API plus worker idle, aim below 400 MB', idle.api + idle.worker, 'MB');
  const d = await openDraft();
  const size = 500_000_000;
  const up = await createUpload(d, 'large.dcm', size);
  const piece = Buffer.alloc(5_000_000, 7);
  const highest = { ...idle };
  const watch = setInterval(() => {
    highest.api = Math.max(highest.api, rssMb('serve'));
    highest.worker = Math.max(highest.worker, rssMb('worker'));
  }, 200);
  const from = performance.now();
  for (let offset = 0; offset < size; offset += piece.length) await patch(up.url, offset, piece);
  figure('500 MB upload over loopback', size / 1e6 / ((performance.now() - from) / 1000), 'MB/s');
  for (;;) {
    const row = (await sql<{ state: string }[]>`select state from arrivals where id = ${up.arrivalId}`)[0];
    if (row && !['expected', 'arriving', 'arrived'].includes(row.state)) break;
    await new Promise((r) => setTimeout(r, 200));
  }
  clearInterval(watch);
  figure('API during a 500 MB upload, growth, aim 50 MB', highest.api - idle.api, 'MB');
  figure('worker during a 500 MB upload, growth, aim 50 MB', highest.worker - idle.worker, 'MB');
}

try {
  await memory();
  await clip();
  await queue();
} finally {
  await sql.end();
  await system.stop();
}
