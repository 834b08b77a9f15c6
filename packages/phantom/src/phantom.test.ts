import { describeDicom, memorySource } from '@chordae/dicom';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { PhantomHeart, PhantomSpecies, PhantomView, PhantomWish } from './index';
import {
  contraction,
  fanBox,
  heartSize,
  makePhantomClip,
  outlineShape,
  phantomDicom,
  seededRandom,
  systoleEnds,
} from './index';

const words = { patientLine: 'WINTER, HAZEL  ID 4471', secondLine: '2026-11-20', viewLine: 'PHANTOM' };

/** Four frames as large as the demo's; ten of a quarter of the pixels. */
function clipOf(
  view: PhantomView,
  species: PhantomSpecies,
  weightKg: number,
  heart: PhantomHeart,
  frameCount = 4,
) {
  const large = frameCount <= 4;
  const wish: PhantomWish = {
    view,
    species,
    weightKg,
    heart,
    heartRate: 120,
    frameCount,
    frameTimeMs: 60,
    words,
    widthPx: large ? 800 : 400,
    heightPx: large ? 600 : 300,
  };
  return makePhantomClip(wish, seededRandom(5));
}

/** Rows of dark pixels up from the middle of the ventricle to the septum; below stand the papillary muscles. */
function darkAbove(luma: Uint8Array, width: number, x: number, y: number): number {
  const dark = (row: number): boolean => {
    let sum = 0;
    for (let dx = -6; dx <= 6; dx += 1) sum += luma[row * width + x + dx] ?? 0;
    return sum / 13 < 80;
  };
  let top = y;
  while (dark(top - 1)) top -= 1;
  return y - top + 0.5;
}

describe('a phantom clip', () => {
  it('shows the ventricle as wide as its truth says, at end diastole and end systole', () => {
    for (const [species, weightKg] of [
      ['dog', 18],
      ['cat', 4.5],
    ] as const) {
      const { frames, truth, fan } = clipOf('rps-short-papillary', species, weightKg, 'normal');
      const x = Math.round(truth.lvCentre.x);
      for (const frame of [0, 3]) {
        const seenMm =
          (20 * darkAbove(frames[frame] ?? new Uint8Array(), fan.widthPx, x, Math.round(truth.lvCentre.y))) /
          truth.pxPerCm;
        // The bright rim blooms a little into the cavity, as on a real screen.
        expect(Math.abs(seenMm / (truth.lvDiameterMm[frame] ?? 0) - 1)).toBeLessThan(0.1);
      }
    }
  });

  it('names end diastole and end systole where the diameter is largest and smallest', () => {
    const { truth } = clipOf('rps-long-4ch', 'dog', 30, 'dilated', 10);
    expect(truth.endDiastoleFrames).toEqual([0, 8]);
    const smallest = truth.lvDiameterMm.indexOf(Math.min(...truth.lvDiameterMm));
    expect(truth.endSystoleFrames[0]).toBe(smallest);
    const areas = truth.lvOutlines.map((outline) => (outline ? outlineShape(outline).areaPx2 : 0));
    expect(areas.indexOf(Math.max(...areas))).toBe(0);
  });

  it('keeps its name outside the box of the fan', () => {
    const clip = clipOf('rps-short-papillary', 'dog', 18, 'normal');
    const box = fanBox(clip);
    expect(box.y0).toBeGreaterThan(37);
    const above = clip.frames[0]?.subarray(0, 30 * clip.fan.widthPx) ?? [];
    expect(above.filter((level) => level > 200).length).toBeGreaterThan(300);
  });

  it('is read back as it was written: region, frame times, R waves, patient', async () => {
    const clip = clipOf('rps-long-4ch', 'cat', 4.2, 'normal', 10);
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
    const read = await describeDicom(
      memorySource(phantomDicom(clip, patient, { coding: 'rle' }, seededRandom(1))),
    );
    if (!read.ok) throw new Error(read.problem.code);
    expect(read.value.description).toMatchObject({
      timing: 'frame-time',
      rWaveTimesMs: [0, 500],
      problems: [],
    });
    expect(read.value.description.regions[0]).toMatchObject({
      ...fanBox(clip),
      usable: true,
      deltaX: 1 / clip.truth.pxPerCm,
    });
    expect(read.value.machine).toMatchObject({
      patientName: 'Winter Hazel',
      speciesText: 'Felis catus',
      weightKg: 4.2,
      sexText: 'F ALTERED',
      scannedOn: '2026-11-20',
    });
  });
});

describe('sizes', () => {
  // Cornell 2004 at 18 kg by hand: 1.53·18^0.294 = 3.579 cm, 0.95·18^0.315 = 2.361 cm.
  it('follow the published means in dogs', () => {
    expect(heartSize('dog', 18, 'normal').lvIddCm).toBeCloseTo(3.579, 3);
    expect(heartSize('dog', 18, 'normal').lvIdsCm).toBeCloseTo(2.361, 3);
  });
  it('put diseases on the right side', () => {
    const [normal, thick, dilated] = (['normal', 'thick-walls', 'dilated'] as const).map((heart) =>
      heartSize('cat', 5, heart),
    );
    expect(thick?.ivsdCm).toBeGreaterThan(0.6);
    expect(dilated?.lvIddCm).toBeGreaterThan(1.2 * (normal?.lvIddCm ?? 9));
    expect(heartSize('dog', 20, 'pericardial-effusion').effusionCm).toBeGreaterThan(0.5);
  });
});

describe('the beat', () => {
  it('starts open, is tightest at end systole, and has no jump', () => {
    expect(contraction(0, 120)).toBe(0);
    expect(contraction(systoleEnds(120), 120)).toBeCloseTo(1, 9);
    fc.assert(
      fc.property(fc.double({ min: 0, max: 3, noNaN: true }), (phase) => {
        const step = Math.abs(contraction(phase + 0.001, 120) - contraction(phase, 120));
        expect(step).toBeLessThan(0.02);
      }),
    );
  });
});
