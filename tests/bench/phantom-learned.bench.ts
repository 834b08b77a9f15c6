/**
 * How near the learned tilt comes on phantoms that it was not trained on, the cavity's place found a little wrongly, and how long
 * one answer takes. Prints one JSON line per figure. Peer: the cosine rule on the axis ratio of the true outline.
 */
import { learnedShortAxisTilt } from '../../packages/imaging/src/learned/short-axis-tilt';
import type { Judged, Score } from '../../packages/imaging/training/judge';
import { judgedByAxisRatio, scoreOf } from '../../packages/imaging/training/judge';
import { judgingSets } from '../../packages/imaging/training/recipe';
import { saidOf } from '../../packages/imaging/training/said';
import { samplesOf } from '../../packages/imaging/training/samples';
import { figure, median } from './figures';

const clips = 90;

for (const set of judgingSets) {
  const samples = Array.from({ length: clips }, (_, n) => samplesOf(set, n)).flat();
  const rows: Judged[] = samples.map(({ patch, labels }) => saidOf(patch, labels));
  const loaded = { set, patches: new Uint8Array(), labels: samples.map((sample) => sample.labels) };
  const geometry = scoreOf(judgedByAxisRatio(loaded));
  const learned = scoreOf(rows);
  const put = (name: string, unit: string, of: (score: Score) => number): void =>
    figure(`learned.tilt.${set.family}.${name}`, of(learned), unit, {
      name: 'true axis ratio',
      value: of(geometry),
    });
  put('mean-error', 'deg', (score) => score.meanErrorDeg);
  put('auc', '', (score) => score.auc);
  put('balanced-accuracy-20', '', (score) => score.balancedAccuracy);
}

const frame = { widthPx: 800, heightPx: 600, luma: new Uint8Array(800 * 600).map((_, n) => (n * 31) % 200) };
const times = Array.from({ length: 60 }, () => {
  const from = performance.now();
  learnedShortAxisTilt(frame, frame, { x: 400, y: 300, radiusPx: 90 });
  return performance.now() - from;
});
figure('learned.tilt.answer', median(times), 'ms', { name: 'aim', value: 10 });
