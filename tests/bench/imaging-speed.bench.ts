import {
  assessClip,
  detectSectorGeometry,
  estimateHeartCycle,
  findDepthRuler,
  makeWorkingClip,
  traceWorkingClip,
} from '@chordae/imaging';
import { figure, median } from './figures';
import { longCine } from './imaging-sets';

/** Time on one core, decoding not counted: processor time of this process, since the machine may be shared. */
const cine = longCine(17);
const frames = cine.frames.map((luma) => ({ widthPx: cine.widthPx, heightPx: cine.heightPx, luma }));
const frameTimesMs = cine.truth.frameTimesMs;

function processorMs(work: () => void): number {
  const times: number[] = [];
  for (let round = 0; round < 5; round += 1) {
    const before = process.cpuUsage();
    work();
    const used = process.cpuUsage(before);
    times.push((used.user + used.system) / 1000);
  }
  return median(times.slice(1));
}

const sector = detectSectorGeometry(frames);
const clip = makeWorkingClip(frames, sector);
const trace = traceWorkingClip(clip);
figure(
  'sector of a 90-frame clip of 800 by 600',
  processorMs(() => void detectSectorGeometry(frames)),
  'ms',
);
figure(
  'depth ruler',
  processorMs(() => void findDepthRuler(frames, sector)),
  'ms',
);
figure(
  '90 frames to working size',
  processorMs(() => void makeWorkingClip(frames, sector)),
  'ms',
);
const outline = processorMs(() => void traceWorkingClip(clip));
const cycle = processorMs(
  () => void estimateHeartCycle(clip, { frameTimesMs, areaCurve: trace.bloodAreaCurve }),
);
figure('outline and cycle, per frame at working size, aim 10 ms', (outline + cycle) / frames.length, 'ms');
const whole = processorMs(() => void assessClip(frames, { frameTimesMs, view: 'rps-short-papillary' }));
figure('everything of a 90-frame clip, aim 1,500 ms', whole, 'ms');
const root = processorMs(() => void assessClip(frames, { frameTimesMs, view: 'rps-short-aortic' }));
figure('everything of a 90-frame clip at the aortic valve', root, 'ms');
if (trace.frames === null) throw new Error('the bench timed a clip without an outline');
