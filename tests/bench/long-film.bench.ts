/**
 * A phone's film of five minutes, 1920 by 1080 at 30 a second, made here by ffmpeg and thrown away: how long until its first
 * picture (all of it is decoded before, since its frames and times must be known), how long for one in its middle, which is
 * decoded again, and what is held meanwhile; and how long a minute of it takes until its own pack stands.
 * CHORDAE_BENCH_FILM_SECONDS names another length. Peaks by /proc, so Linux only.
 */
import { execFileSync, spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { makePacks, openOriginal } from '@chordae/codecs/node';
import { figure } from './figures';

if (spawnSync('ffmpeg', ['-version'], { stdio: 'ignore' }).error !== undefined || !existsSync('/proc/self')) {
  process.stderr.write('long-film: needs ffmpeg and Linux: nothing is measured.\n');
  process.exit(0);
}
const seconds = Number(process.env['CHORDAE_BENCH_FILM_SECONDS'] ?? 300);
const folder = mkdtempSync(path.join(tmpdir(), 'chordae-bench-'));
// Unfinished things of the reader lie in the same place, to be measured.
process.env['TMPDIR'] = folder;

/** Ten seconds of moving shapes under noise, which a phone's camera has too, over and over. */
function makePart(): string {
  const part = path.join(folder, 'part.mp4');
  const shapes = 'testsrc2=size=1920x1080:rate=30:duration=10,noise=alls=8:allf=t';
  const coded = ['-c:v', 'libx264', '-preset', 'veryfast', '-crf', '23', '-pix_fmt', 'yuv420p'];
  execFileSync('ffmpeg', ['-v', 'error', '-f', 'lavfi', '-i', shapes, ...coded, part]);
  return part;
}

function make(part: string, length: number): string {
  const file = path.join(folder, `${length}.mp4`);
  const times = String(Math.max(0, Math.round(length / 10) - 1));
  execFileSync('ffmpeg', ['-v', 'error', '-stream_loop', times, '-i', part, '-c', 'copy', file]);
  return file;
}

const statusOf = (id: string): string => {
  try {
    return readFileSync(`/proc/${id}/status`, 'latin1');
  } catch {
    return '';
  }
};
const peakOf = (status: string): number => (Number(/^VmHWM:\s+(\d+)/m.exec(status)?.[1] ?? 0) * 1024) / 1e6;

let programs = 0;
let heldMb = 0;
function look(): void {
  for (const id of readdirSync('/proc').filter((name) => /^\d+$/.test(name))) {
    const status = statusOf(id);
    if (status.includes(`\nPPid:\t${process.pid}\n`)) programs = Math.max(programs, peakOf(status));
  }
  for (const name of readdirSync(folder).filter((entry) => entry.startsWith('chordae-film-'))) {
    const raw = path.join(folder, name, 'frames');
    if (existsSync(raw)) heldMb = Math.max(heldMb, statSync(raw).size / 1e6);
  }
}

async function minute(file: string): Promise<void> {
  const began = performance.now();
  let ownMs = Number.NaN;
  const onOwn = (): void => {
    ownMs = performance.now() - began;
  };
  const ownPath = path.join(folder, 'own');
  const made = await makePacks({ originalPath: file, ownPath, outgoingPath: null, keep: 'all' }, { onOwn });
  if (!made.ok) throw new Error(made.problem.code);
  figure('film.minute.own-pack', ownMs / 1000, 's');
  figure('film.minute.own-pack.size', (made.value.own?.bytes ?? 0) / 1e6, 'MB');
}

try {
  const part = makePart();
  await minute(make(part, 60));
  const file = make(part, seconds);
  const before = peakOf(statusOf('self'));
  const watch = setInterval(look, 100);
  const began = performance.now();
  const opened = await openOriginal(file);
  if (!opened.ok) throw new Error(opened.problem.code);
  const first = await opened.value.picture(0);
  if (!first.ok) throw new Error(first.problem.code);
  const shown = performance.now();
  const { frameCount } = opened.value.description;
  const middle = await opened.value.picture(frameCount >> 1);
  if (!middle.ok) throw new Error(middle.problem.code);
  const later = performance.now();
  clearInterval(watch);
  look();
  figure('film.long.size', statSync(file).size / 1e6, 'MB');
  figure('film.long.frames', frameCount, 'frames');
  figure('film.long.first-frame', (shown - began) / 1000, 's');
  figure('film.long.middle-frame', (later - shown) / 1000, 's');
  figure(
    'film.long.peak',
    peakOf(statusOf('self')),
    `MB, of which ${before.toFixed(0)} before it was opened`,
  );
  figure('film.long.programs-peak', programs, 'MB, ffmpeg and ffprobe, the larger');
  figure('film.long.on-disk', heldMb, 'MB of unpacked frames');
  await opened.value.close();
} finally {
  rmSync(folder, { recursive: true, force: true });
}
