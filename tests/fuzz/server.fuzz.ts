/**
 * Changed files through the running server, as a clinic's browser sends them; not part of `npm test`.
 * `npx tsx tests/fuzz/server.fuzz.ts FILES [MINUTES] [SEED]`, after `npm run build`. Each file is announced, uploaded by tus
 * into a draft and must end as read, unreadable or duplicate within the limit, with a sentence for each problem; server and
 * worker must live and keep answering, no job may fail, and nothing half-made may be left in the data folder.
 */
import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import type { Problem } from '@chordae/contract';
import { uploadFile } from '../support/upload';
import { caseOf, makeWorld, type OpenedReferral, openDraft } from '../support/world';
import { FuzzedSystem } from './fuzzed-system';
import { httpSession } from './http-session';
import { fallen, illSaid, quantile, slope } from './judge';
import { numbersFrom } from './mutate';
import { changedFile, serverSeeds } from './server-seeds';

const [most = '5000', minutes = '12', seed = '20261126'] = process.argv.slice(2);
const perDraft = 40;
const inFlight = 4;
/** Reading may take 30 s at most (set for this run); before it wait the files and the looks at clips that came earlier. */
const stuckAfterMs = 120_000;

interface Sent {
  readonly arrivalId: string;
  readonly kind: string;
  readonly bytes: Uint8Array;
  readonly at: number;
}
interface Row {
  readonly id: string;
  readonly state: string;
  readonly problem: Problem | null;
}

const system = new FuzzedSystem();
const below = numbersFrom(Number(seed));
const outcomes = new Map<string, number>();
const findings: string[] = [];
const sent = new Set<string>();
let members = 0;
const [uploadMs, settleMs, caseMs]: [number[], number[], number[]] = [[], [], []];
const memory: { serve: [number, number][]; worker: [number, number][] } = { serve: [], worker: [] };
const kept = `${system.folder}-findings`;
mkdirSync(kept);

function find(what: string, file: Sent): void {
  findings.push(`${file.kind}: ${what} (${file.arrivalId})`);
  console.log(`FOUND ${findings.at(-1)}`);
  writeFileSync(path.join(kept, `${file.kind}-${file.arrivalId}`), file.bytes);
}

async function settled(file: Sent): Promise<Row> {
  for (;;) {
    const [row] = await system.admin<
      Row[]
    >`select id, state, problem from arrivals where id = ${file.arrivalId}`;
    if (row && !['expected', 'arriving', 'arrived'].includes(row.state)) return row;
    if (performance.now() - file.at > stuckAfterMs || system.faults.length > 0)
      return row ?? { id: file.arrivalId, state: 'never announced', problem: null };
    await new Promise((resolve) => setTimeout(resolve, 40));
  }
}

function judge(file: Sent, { state, problem }: Row): void {
  const outcome = `${state}${problem === null ? '' : ` ${problem.code}`}`;
  outcomes.set(outcome, (outcomes.get(outcome) ?? 0) + 1);
  if (!['read', 'unreadable', 'duplicate'].includes(state)) find(`stuck as ${state}`, file);
  if (state === 'unreadable' && problem === null) find('unreadable without a reason', file);
  if (problem === null) return;
  const said = illSaid(problem);
  if (said !== null) find(said, file);
  if (fallen.test(problem.code)) find(problem.code, file);
}

const world = await system.start().then(() => makeWorld(system.admin));
const vet = await httpSession(system.url, world.people.vetA.email);
const seeds = await serverSeeds();
const until = performance.now() + Number(minutes) * 60_000;
const began = performance.now();
let done = 0;

/** The draft as its vet sees it: every file is in it, settled, and whatever is said of a clip has words. */
async function lookAt(draft: OpenedReferral, files: readonly Sent[]): Promise<void> {
  const asked = performance.now();
  const seen = await caseOf(vet, draft);
  caseMs.push(performance.now() - asked);
  for (const file of files)
    if (!seen.arrivals.some((arrival) => arrival.id === file.arrivalId)) find('not in its case', file);
  for (const clip of seen.clips)
    for (const problem of clip.description.problems) {
      const said = illSaid(problem);
      const file = files.find((one) =>
        seen.arrivals.some((a) => a.id === one.arrivalId && a.clipId === clip.id),
      );
      if (said !== null && file !== undefined) find(`clip: ${said}`, file);
    }
  if (!(await system.healthy())) findings.push('the server did not answer when asked for its health');
}

async function draftOfFiles(): Promise<void> {
  const draft = await openDraft(vet, world, world.practiceA);
  const files: Sent[] = [];
  let left = perDraft;
  const lane = async (): Promise<void> => {
    while (left > 0 && done < Number(most) && performance.now() < until && system.faults.length === 0) {
      left -= 1;
      const { kind, bytes } = changedFile(seeds, below);
      const asked = performance.now();
      const arrivalId = await uploadFile({ ...vet }, system.url, draft, `${kind}.bin`, bytes);
      const file = { arrivalId, kind, bytes, at: performance.now() };
      uploadMs.push(file.at - asked);
      sent.add(arrivalId);
      files.push(file);
      const row = await settled(file);
      settleMs.push(performance.now() - file.at);
      judge(file, row);
      done += 1;
    }
  };
  await Promise.all(Array.from({ length: inFlight }, lane));
  await lookAt(draft, files);
  for (const part of ['serve', 'worker'] as const) memory[part].push([done / 1000, system.residentMb(part)]);
}

/** What came out of archives arrives by itself, and must end as all others do. */
async function membersOfArchives(): Promise<number> {
  const until = performance.now() + stuckAfterMs;
  const waiting = async (): Promise<boolean> =>
    (await system.admin`select 1 from arrivals where state in ('expected', 'arriving', 'arrived') limit 1`)
      .length > 0;
  while ((await waiting()) && performance.now() < until)
    await new Promise((resolve) => setTimeout(resolve, 200));
  const rows = await system.admin<Row[]>`select id, state, problem from arrivals`;
  const members = rows.filter((row) => !sent.has(row.id));
  for (const row of members)
    judge({ arrivalId: row.id, kind: 'member', bytes: new Uint8Array(), at: 0 }, row);
  return members.length;
}

async function ending(): Promise<void> {
  const failed = await system.admin<{ task: string; last_error: string }[]>`
    select k.identifier as task, j.last_error from graphile_worker._private_jobs j
      join graphile_worker._private_tasks k on k.id = j.task_id where j.last_error is not null`;
  for (const job of failed) findings.push(`job ${job.task} failed: ${job.last_error.slice(0, 300)}`);
  const scratch = readdirSync(system.folder).filter((name) => name.startsWith('scratch-'));
  const waiting = readdirSync(path.join(system.folder, 'uploads'));
  // Looks at clips may still run: one folder for each of the two that work at once.
  if (scratch.length > 2) findings.push(`${scratch.length} scratch folders are left`);
  if (waiting.length > 0) findings.push(`${waiting.length} files are left among the uploads`);
  // The line that says where the server listens is no fault.
  const log = readFileSync(system.logFile, 'utf8')
    .replace(/^Chordae is at .*$/gm, '')
    .trim();
  if (log !== '') findings.push(`log: ${log.slice(0, 1500)}`);
  findings.push(...system.faults);
}

const told = (part: 'serve' | 'worker') => ({
  startMb: Math.round(memory[part][0]?.[1] ?? Number.NaN),
  endMb: Math.round(memory[part].at(-1)?.[1] ?? Number.NaN),
  // The first third warms up: it would make any slope.
  slopeMbPer1000Files: Math.round(10 * slope(memory[part].slice(Math.floor(memory[part].length / 3)))) / 10,
});
const times = (values: readonly number[]) => ({
  p50Ms: Math.round(quantile(values, 0.5)),
  p95Ms: Math.round(quantile(values, 0.95)),
  mostMs: Math.round(Math.max(...values)),
});

try {
  while (done < Number(most) && performance.now() < until && system.faults.length === 0) {
    await draftOfFiles();
    if (memory.serve.length % 10 === 0)
      console.log(`${done} files, ${Math.round((performance.now() - began) / 1000)} s`);
  }
  members = await membersOfArchives();
  await ending();
} finally {
  await system.stop();
}
console.log(
  JSON.stringify(
    {
      files: done,
      outOfArchives: members,
      seconds: Math.round((performance.now() - began) / 1000),
      outcomes: Object.fromEntries([...outcomes].sort((a, b) => b[1] - a[1])),
      upload: times(uploadMs),
      read: times(settleMs),
      caseView: times(caseMs),
      server: told('serve'),
      worker: told('worker'),
      findings,
    },
    null,
    1,
  ),
);
console.log(findings.length === 0 ? 'no findings' : `files kept in ${kept}`);
process.exitCode = findings.length === 0 ? 0 : 1;
