/**
 * What the sector as a mask cuts and keeps, on drawn screens with text, ruler and grey bar (seeds of their own, 5001…): plain,
 * with a heart trace, two side by side, stills. `npx tsx tests/bench/fan-mask.bench.ts [COUNT]`.
 */
import { outlineRows } from '@chordae/dicom';
import type { GrayFrame } from '@chordae/imaging';
import { detectSectorGeometry, proposeFan } from '@chordae/imaging';
import type { PhantomClip } from '@chordae/phantom';
import { plainFurniture, randomCine, renderCine, splitScreen } from '@chordae/phantom';
import sharp from 'sharp';
import { figure, median, percentile } from './figures';

const count = Number(process.argv[2] ?? 24);
const [widthPx, heightPx] = [800, 600];
const views = ['rps-long-4ch', 'rps-short-papillary', 'rps-short-aortic', 'lap-4ch'] as const;
const families = ['developing', 'shifted', 'distant'] as const;

function screen(seed: number, trace: boolean): PhantomClip {
  const view = views[seed % views.length] ?? 'rps-long-4ch';
  const family = families[seed % families.length] ?? 'developing';
  return renderCine(
    {
      ...randomCine(seed, family, { view, widthPx, heightPx }),
      mirrored: false,
      frameCount: 6,
      words: { patientLine: 'TESTDOG 4711', secondLine: '12.03.2026 PRACTICE', viewLine: 'CARDIO' },
      furniture: { ...plainFurniture, trace, rulerSide: seed % 2 === 0 ? 'left' : 'right' },
    },
    seed,
  );
}

/** As a machine exports it: coded as JPEG, quality 40 to 95. */
async function coded(lumas: readonly Uint8Array[], width: number, seed: number): Promise<GrayFrame[]> {
  const quality = 40 + ((seed * 37) % 56);
  return Promise.all(
    lumas.map(async (luma) => {
      const jpeg = await sharp(luma, { raw: { width, height: heightPx, channels: 1 } })
        .jpeg({ quality })
        .toBuffer();
      return {
        widthPx: width,
        heightPx,
        luma: new Uint8Array(await sharp(jpeg).extractChannel(0).raw().toBuffer()),
      };
    }),
  );
}

/** 1 for each pixel of the sector as it was drawn. */
function drawnSector({ fan }: PhantomClip): Uint8Array {
  return Uint8Array.from({ length: widthPx * heightPx }, (_, n) => {
    const [dx, dy] = [(n % widthPx) + 0.5 - fan.apexX, Math.floor(n / widthPx) + 0.5 - fan.apexY];
    const range = Math.hypot(dx, dy) / fan.pxPerCm;
    const inside = range >= fan.faceCm && range < fan.faceCm + fan.depthCm;
    return inside && Math.abs(Math.atan2(dx, dy)) <= fan.halfAngle ? 1 : 0;
  });
}

/** A screen as a phone films it: turned by up to 3 degrees, softer, coded hard. */
async function filmed(luma: Uint8Array, seed: number, soft: number): Promise<Uint8Array> {
  const turned = await sharp(luma, { raw: { width: widthPx, height: heightPx, channels: 1 } })
    .affine(turning(seed), { background: '#000000' })
    .toColourspace('b-w')
    .raw()
    .toBuffer({ resolveWithObject: true });
  const { width, height } = turned.info;
  const [left, top] = [Math.floor((width - widthPx) / 2), Math.floor((height - heightPx) / 2)];
  const cut = sharp(turned.data, { raw: { width, height, channels: 1 } }).extract({
    left,
    top,
    width: widthPx,
    height: heightPx,
  });
  const jpeg = await (soft > 0 ? cut.blur(soft).jpeg({ quality: 60 }) : cut.png()).toBuffer();
  return new Uint8Array(await sharp(jpeg).extractChannel(0).raw().toBuffer());
}

function turning(seed: number): [number, number, number, number] {
  const angle = (((seed % 7) - 3) * Math.PI) / 180;
  return [Math.cos(angle), -Math.sin(angle), Math.sin(angle), Math.cos(angle)];
}

interface Cut {
  /** Part of the drawn sector that the mask takes. */
  readonly cut: number;
  /** Bright pixels beside the drawn sector that it leaves, three or more pixels away from it: letters would be such. */
  readonly left: number;
}

function cutOf(truth: Uint8Array, frames: readonly GrayFrame[], outline: readonly number[]): Cut {
  const mask = new Uint8Array(truth.length);
  for (const { x0, y0, x1 } of outlineRows(outline, widthPx, heightPx))
    mask.fill(1, y0 * widthPx + x0, y0 * widthPx + x1 + 1);
  const near = (n: number): boolean => {
    for (let dy = -3; dy <= 3; dy += 1)
      for (let dx = -3; dx <= 3; dx += 1) if (truth[n + dy * widthPx + dx] === 1) return true;
    return false;
  };
  let [inside, cut, left] = [0, 0, 0];
  truth.forEach((is, n) => {
    inside += is;
    if (is === 1 && mask[n] === 0) cut += 1;
    if (is === 0 && mask[n] === 1 && (frames[0]?.luma[n] ?? 0) > 100 && !near(n)) left += 1;
  });
  return { cut: cut / inside, left };
}

const said = { proposed: 0, offered: 0, none: 0 };
const cuts: Cut[] = [];
const ofFilmed: Cut[] = [];
const wrongly = { trace: 0, split: 0, still: 0 };
for (let seed = 5001; seed < 5001 + count; seed += 1) {
  const clip = screen(seed, false);
  const frames = await coded(clip.frames, widthPx, seed);
  const fan = proposeFan(frames, detectSectorGeometry(frames));
  said[fan === null ? 'none' : fan.proposed ? 'proposed' : 'offered'] += 1;
  if (fan !== null) cuts.push(cutOf(drawnSector(clip), frames, fan.outline));
  if (fan !== null && !fan.proposed)
    console.error(`seed ${seed}: ${fan.confidence.toFixed(2)} ${fan.reasons.join(' ')}`);
  const still = proposeFan(frames.slice(0, 1), detectSectorGeometry(frames.slice(0, 1)));
  if (still?.proposed) wrongly.still += 1;
  const phone = await Promise.all(
    clip.frames.map(async (luma) => ({ widthPx, heightPx, luma: await filmed(luma, seed, 0.8) })),
  );
  const found = proposeFan(phone, detectSectorGeometry(phone));
  const truth = drawnSector(clip).map((v) => 255 * v);
  if (found !== null)
    ofFilmed.push(
      cutOf(
        (await filmed(truth, seed, 0)).map((v) => (v > 127 ? 1 : 0)),
        phone,
        found.tightOutline,
      ),
    );
  const traced = await coded(screen(seed, true).frames, widthPx, seed);
  if (proposeFan(traced, detectSectorGeometry(traced))?.proposed) wrongly.trace += 1;
  const split = splitScreen(clip, screen(seed + 1, false));
  const both = await coded(split.frames, split.widthPx, seed);
  if (proposeFan(both, detectSectorGeometry(both))?.proposed) wrongly.split += 1;
}
figure(`plain screens of ${count}: sector proposed`, said.proposed, 'screens');
figure(`plain screens of ${count}: sector only offered`, said.offered, 'screens');
figure(`plain screens of ${count}: no sector`, said.none, 'screens');
const shares = cuts.map(({ cut }) => 100 * cut);
figure('drawn sector taken by the mask, median', median(shares), '%');
figure('drawn sector taken by the mask, 95 of 100', percentile(shares, 0.95), '%');
figure('drawn sector taken by the mask, most', Math.max(...shares), '%');
figure(
  'bright pixels beside it that are left, most of a screen',
  Math.max(...cuts.map(({ left }) => left)),
  'pixels',
);
figure(`filmed, of ${count}: sector offered`, ofFilmed.length, 'screens');
const ofThem = ofFilmed.map(({ cut }) => 100 * cut);
figure('filmed: drawn sector taken by the tight mask, median', median(ofThem), '%');
figure('filmed: drawn sector taken by the tight mask, most', Math.max(...ofThem), '%');
figure(
  'filmed: bright pixels beside it that are left, most of a screen',
  Math.max(...ofFilmed.map(({ left }) => left)),
  'pixels',
);
figure(`with a heart trace, of ${count}: proposed all the same`, wrongly.trace, 'screens');
figure(`two side by side, of ${count}: proposed all the same`, wrongly.split, 'screens');
figure(`stills, of ${count}: proposed all the same`, wrongly.still, 'screens');
