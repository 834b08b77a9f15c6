/**
 * How long a phantom takes to draw: one frame of a clip, everything else of the clip shared among its frames. Prints one JSON
 * line per figure. Peer: the time that the design asks for (35 ms at 256 by 192, 250 ms at 800 by 600).
 */
import { phantomFamilies, phantomViews, randomCine, renderCine } from '@chordae/phantom';
import { figure, percentile } from './figures';

const sizes = [
  { widthPx: 256, heightPx: 192, aimMs: 35 },
  { widthPx: 800, heightPx: 600, aimMs: 250 },
];
const frames = 10;

for (const { widthPx, heightPx, aimMs } of sizes) {
  const perFrame: number[] = [];
  for (const family of phantomFamilies)
    for (const [n, view] of phantomViews.entries()) {
      const wish = { ...randomCine(n, family, { view, widthPx, heightPx }), frameCount: frames };
      const from = performance.now();
      renderCine(wish, n);
      perFrame.push((performance.now() - from) / frames);
    }
  const peer = { name: 'aim', value: aimMs };
  figure(`phantom.frame.${widthPx}x${heightPx}.median`, percentile(perFrame, 0.5), 'ms', peer);
  figure(`phantom.frame.${widthPx}x${heightPx}.p95`, percentile(perFrame, 0.95), 'ms', peer);
}
