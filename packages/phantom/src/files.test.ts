import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { describeDicom, memorySource } from '@chordae/dicom';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  makeMMode,
  makeSpectral,
  onScreen,
  panelOf,
  phantomDicom,
  pictureDicom,
  plainFurniture,
  refilmed,
  renderCine,
  rulerStyles,
  seededRandom,
  splitScreen,
  writeAvi,
} from './index';

const words = { patientLine: 'WINTER, HAZEL  ID 4471', secondLine: '2026-11-20', viewLine: 'PHANTOM' };
const patient = {
  name: 'Winter^Hazel',
  number: '4471',
  breed: 'Mixed',
  sex: 'F' as const,
  neutered: true,
  birthDate: '20180311',
  scanDate: '20261120',
  scanTime: '104200',
  keeper: '',
};
const clip = renderCine(
  {
    view: 'rps-long-4ch',
    species: 'dog',
    weightKg: 14,
    heart: 'mitral-leak',
    heartRate: 120,
    frameCount: 12,
    frameTimeMs: 1000 / 24,
    words,
    widthPx: 320,
    heightPx: 240,
    furniture: { trace: true },
  },
  3,
);
const mMode = makeMMode(
  { species: 'dog', weightKg: 20, heart: 'normal', heartRate: 96, sweepMs: 2400, words },
  5,
);
const spectral = makeSpectral(
  {
    species: 'dog',
    weightKg: 9,
    flow: 'leak',
    peakCmS: 545,
    towards: false,
    heartRate: 130,
    sweepMs: 1900,
    words,
  },
  6,
);

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(path.join(tmpdir(), 'phantom-'));
});
afterAll(() => rmSync(folder, { recursive: true }));

const has = (program: string): boolean => spawnSync(program, ['-version']).error === undefined;

describe('a DICOM file of a phantom', () => {
  // dciodvfy (dicom3tools) checks against the tables of PS3.3.
  // Only where the validator is installed: it is no part of what npm brings.
  it.for(has('dciodvfy') ? ['dciodvfy'] : [])('passes the validator %s', () => {
    const files = {
      clip: phantomDicom(clip, patient, { coding: 'rle' }, seededRandom(1)),
      mMode: pictureDicom(mMode, patient, { coding: 'native' }, seededRandom(2)),
      spectral: pictureDicom(spectral, patient, { coding: 'native' }, seededRandom(3)),
    };
    for (const [name, bytes] of Object.entries(files)) {
      const at = path.join(folder, `${name}.dcm`);
      writeFileSync(at, bytes);
      const said = spawnSync('dciodvfy', [at], { encoding: 'utf8' });
      const errors = `${said.stdout}${said.stderr}`.split('\n').filter((line) => line.startsWith('Error'));
      expect(errors, name).toEqual([]);
    }
  });

  it('reads back the scales of an M-mode and of a spectral picture', async () => {
    const m = await describeDicom(
      memorySource(pictureDicom(mMode, patient, { coding: 'rle' }, seededRandom(2))),
    );
    const s = await describeDicom(
      memorySource(pictureDicom(spectral, patient, { coding: 'rle' }, seededRandom(3))),
    );
    if (!m.ok || !s.ok) throw new Error('not read');
    expect(m.value.description.regions[0]).toMatchObject({
      kind: 'm-mode',
      unitX: 's',
      unitY: 'cm',
      deltaX: mMode.truth.secondsPerPx,
      deltaY: mMode.truth.cmPerPx,
      usable: true,
    });
    expect(s.value.description.regions[0]).toMatchObject({
      kind: 'spectral',
      unitX: 's',
      unitY: 'cm/s',
      deltaY: -spectral.truth.cmPerSPerPx,
      usable: true,
    });
  });
});

/** Mean brightness of a patch. */
function patch(luma: Uint8Array, width: number, x: number, y: number, halfX: number, halfY: number): number {
  let sum = 0;
  for (let dy = -halfY; dy <= halfY; dy += 1)
    for (let dx = -halfX; dx <= halfX; dx += 1) sum += luma[(y + dy) * width + x + dx] ?? 0;
  return sum / ((2 * halfX + 1) * (2 * halfY + 1));
}

describe('an M-mode picture', () => {
  const box = mMode.regions[0];
  if (!box) throw new Error('no region');
  const row = (cm: number): number => Math.round(box.y0 + cm / mMode.truth.cmPerPx);
  const column = (ms: number): number => Math.round(box.x0 + ms / 1000 / mMode.truth.secondsPerPx);

  it('shows blood between the walls and muscle in them where its truth says, at both ends of the beat', () => {
    const luma = mMode.frames[0] as Uint8Array;
    for (const edges of [...mMode.truth.endDiastole, ...mMode.truth.endSystole]) {
      const x = column(edges.timeMs);
      if (x < box.x0 + 6 || x > box.x1 - 6) continue;
      const at = (cm: number) => patch(luma, mMode.widthPx, x, row(cm), 3, 3);
      const middle = at((edges.septumBottomCm + edges.freeWallTopCm) / 2);
      expect(at((edges.septumTopCm + edges.septumBottomCm) / 2)).toBeGreaterThan(middle + 35);
      expect(at((edges.freeWallTopCm + edges.freeWallBottomCm) / 2)).toBeGreaterThan(middle + 35);
    }
  });

  it('names the ventricle as wide as a dog of 20 kg has it: Cornell 2004, 1.53·20^0.294 and 0.95·20^0.315 cm at its widest', () => {
    const d = mMode.truth.endDiastole[0];
    const s = mMode.truth.endSystole[0];
    if (!d || !s) throw new Error('no beat');
    // Cut a little above the widest place, which moves on in systole, so a little less than the full width.
    const part = (x: number, whole: number): number => x / whole;
    expect(part(d.freeWallTopCm - d.septumBottomCm, 1.53 * 2.4127)).toBeGreaterThan(0.97);
    expect(part(d.freeWallTopCm - d.septumBottomCm, 1.53 * 2.4127)).toBeLessThan(1);
    expect(part(s.freeWallTopCm - s.septumBottomCm, 0.95 * 2.5693)).toBeGreaterThan(0.9);
    expect(part(s.freeWallTopCm - s.septumBottomCm, 0.95 * 2.5693)).toBeLessThan(1);
    expect(s.freeWallBottomCm - s.freeWallTopCm).toBeGreaterThan(
      1.2 * (d.freeWallBottomCm - d.freeWallTopCm),
    );
  });
});

describe('a spectral picture', () => {
  it('reaches just its peak velocity at the peak times: 5.45 m/s, by the simplified Bernoulli rule 119 mmHg', () => {
    const { truth, frames, widthPx, regions } = spectral;
    const box = regions[0];
    const luma = frames[0] as Uint8Array;
    if (!box) throw new Error('no region');
    expect(truth.peakTimesMs.length).toBeGreaterThan(1);
    for (const ms of truth.peakTimesMs) {
      const x = Math.round(box.x0 + ms / 1000 / truth.secondsPerPx);
      let row = truth.baselineY;
      for (let y = truth.baselineY + 4; y < box.y1; y += 1)
        if (patch(luma, widthPx, x, y, 4, 0) > 95) row = y;
      const seen = (row - truth.baselineY) * truth.cmPerSPerPx;
      expect(Math.abs(seen / truth.peakCmS - 1)).toBeLessThan(0.02);
    }
    expect(4 * 5.45 * 5.45).toBeCloseTo(118.8, 1);
  });

  it('shows two waves of an inflow above the baseline, the early one higher', () => {
    const inflow = makeSpectral(
      {
        species: 'cat',
        weightKg: 4,
        flow: 'inflow',
        peakCmS: 80,
        atrialCmS: 55,
        towards: true,
        heartRate: 150,
        sweepMs: 1500,
        words,
      },
      7,
    );
    const box = inflow.regions[0];
    const luma = inflow.frames[0] as Uint8Array;
    if (!box) throw new Error('no region');
    const height = (ms: number): number => {
      const x = Math.round(box.x0 + ms / 1000 / inflow.truth.secondsPerPx);
      let top = inflow.truth.baselineY;
      for (let y = inflow.truth.baselineY - 6; y > box.y0; y -= 1)
        if (patch(luma, inflow.widthPx, x, y, 2, 0) > 110) top = y;
      return (inflow.truth.baselineY - top) * inflow.truth.cmPerSPerPx;
    };
    expect(Math.abs(height(inflow.truth.peakTimesMs[0] ?? 0) - 80)).toBeLessThan(4);
    expect(Math.abs(height(inflow.truth.atrialTimesMs[0] ?? 0) - 55)).toBeLessThan(4);
  });
});

describe('an AVI file of a phantom', () => {
  // Only where the program is installed: it is no part of what npm brings.
  it.for(has('ffprobe') ? ['ffprobe'] : [])('is read by the general video program %s', async () => {
    const { widthPx, heightPx } = clip.fan;
    const jpeg = await Promise.all(
      clip.frames.map((luma) =>
        sharp(luma, { raw: { width: widthPx, height: heightPx, channels: 1 } })
          .jpeg()
          .toBuffer(),
      ),
    );
    const picture = { widthPx, heightPx, frameTimeMs: 40 };
    for (const [codec, bytes] of [
      ['rawvideo', writeAvi(picture, { coding: 'raw', frames: clip.frames })],
      ['mjpeg', writeAvi(picture, { coding: 'jpeg', frames: jpeg })],
    ] as const) {
      const at = path.join(folder, `${codec}.avi`);
      writeFileSync(at, bytes);
      const said = spawnSync(
        'ffprobe',
        [
          '-v',
          'error',
          '-count_frames',
          '-show_entries',
          'stream=codec_name,width,height,r_frame_rate,nb_read_frames',
          '-of',
          'json',
          at,
        ],
        { encoding: 'utf8' },
      );
      expect(said.stderr).toBe('');
      expect(JSON.parse(said.stdout).streams[0]).toMatchObject({
        codec_name: codec,
        width: widthPx,
        height: heightPx,
        r_frame_rate: '25/1',
        nb_read_frames: '12',
      });
    }
  });

  it('holds the luma of each frame, bottom row first', () => {
    const bytes = writeAvi(
      { widthPx: 3, heightPx: 2, frameTimeMs: 33 },
      { coding: 'raw', frames: [Uint8Array.from([1, 2, 3, 4, 5, 6])] },
    );
    const from = Buffer.from(bytes).indexOf('00db', Buffer.from(bytes).indexOf('movi')) + 8;
    expect([...bytes.subarray(from, from + 24)]).toEqual([
      4, 4, 4, 5, 5, 5, 6, 6, 6, 0, 0, 0, 1, 1, 1, 2, 2, 2, 3, 3, 3, 0, 0, 0,
    ]);
  });
});

describe('what stands round the fan', () => {
  it('draws each kind of ruler with a mark at every tick and none between', () => {
    for (const ruler of rulerStyles)
      for (const rulerSide of ['left', 'right'] as const) {
        const made = renderCine(
          {
            ...clip.wish,
            words: { patientLine: '', secondLine: '', viewLine: '' },
            frameCount: 1,
            furniture: { ...plainFurniture, ruler, rulerSide, numbers: false },
          },
          3,
        );
        const { ruler: truth } = made.truth;
        const luma = made.frames[0] as Uint8Array;
        if (!truth) throw new Error('no ruler');
        expect(truth.pxPerTick).toBeCloseTo(made.truth.pxPerCm, 9);
        const lit = (y: number): number => {
          let count = 0;
          for (let dx = -1; dx <= 4; dx += 1) if ((luma[y * 320 + truth.x + dx] ?? 0) > 100) count += 1;
          return count;
        };
        const line = ruler === 'axis-line' ? 1 : 0;
        for (let tick = 0; tick < truth.ticks; tick += 1) {
          const y = Math.round(truth.firstY + tick * truth.pxPerTick);
          expect(lit(y), `${ruler} ${tick}`).toBeGreaterThan(line);
          if (tick + 1 < truth.ticks)
            expect(lit(Math.round(y + truth.pxPerTick / 2)), `${ruler} ${rulerSide} ${tick}`).toBe(line);
        }
      }
  });

  it('draws the heart trace with an R wave at each R wave', () => {
    const { trace, rWaveTimesMs } = clip.truth;
    const luma = clip.frames[0] as Uint8Array;
    if (!trace) throw new Error('no trace');
    expect(rWaveTimesMs.length).toBe(1);
    const tall = (ms: number): number => {
      const x = trace.x0 + Math.round(ms / trace.msPerPx);
      let top = trace.baselineY;
      for (let y = trace.baselineY - 12; y <= trace.baselineY; y += 1)
        if ([-1, 0, 1].some((dx) => (luma[y * 320 + x + dx] ?? 0) > 150)) top = Math.min(top, y);
      return trace.baselineY - top;
    };
    expect(tall(500)).toBeGreaterThan(4);
    expect(tall(270)).toBeLessThan(3);
  });

  it('draws a ruler along the edge of the fan, ticks at even distances along that beam', () => {
    const furniture = { ...plainFurniture, ruler: 'dot' as const, numbers: false, edgeGapPx: 6 };
    const made = renderCine(
      { ...clip.wish, words: { patientLine: '', secondLine: '', viewLine: '' }, frameCount: 1, furniture },
      3,
    );
    const { ruler } = made.truth;
    if (!ruler) throw new Error('no ruler');
    expect(ruler.slantRad).toBeCloseTo(made.fan.halfAngle, 12);
    for (let tick = 0; tick < ruler.ticks; tick += 1) {
      const x = ruler.x + tick * ruler.pxPerTick * Math.sin(ruler.slantRad);
      const y = ruler.firstY + tick * ruler.pxPerTick * Math.cos(ruler.slantRad);
      const near = [-1, 0, 1].flatMap((dy) =>
        [-1, 0, 1].map((dx) => made.frames[0]?.[(Math.round(y) + dy) * 320 + Math.round(x) + dx] ?? 0),
      );
      expect(Math.max(...near), `tick ${tick}`).toBe(220);
    }
  });

  it('films a screen again: unchanged straight on, turned about its middle, narrower above', () => {
    const whole = panelOf(clip);
    const same = refilmed(whole, { rotationDeg: 0, keystone: 0 }).frames[0] as Uint8Array;
    const at = 120 * 320 + 160;
    expect(same[at]).toBe(clip.frames[0]?.[at]);
    // A quarter turn clockwise: what stood above the middle stands to its right.
    const quarter = onScreen(320, 240, { rotationDeg: 90, keystone: 0 })(200, 120);
    expect(quarter.x).toBeCloseTo(160, 9);
    expect(quarter.y).toBeCloseTo(80, 9);
    const tipped = onScreen(320, 240, { rotationDeg: 0, keystone: 0.1 });
    expect(tipped(200, 0).x - 160).toBeGreaterThan(40);
    expect(tipped(200, 240).x - 160).toBeLessThan(40);
  });

  it('sets two clips side by side', () => {
    const both = splitScreen(clip, clip);
    expect(both.widthPx).toBe(640);
    expect(both.frames[2]?.[100 * 640 + 160]).toBe(clip.frames[2]?.[100 * 320 + 160]);
    expect(both.frames[2]?.[100 * 640 + 480]).toBe(clip.frames[2]?.[100 * 320 + 160]);
  });
});
