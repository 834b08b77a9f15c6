import type { MeasurementCode } from '@chordae/contract';
import { exactPow } from '@chordae/units';
import type { CaseFacts } from '../case-facts';
import { reading } from '../case-facts';
import { fixed, trimmed } from '../format-number';
import type { Index, IndexDraft } from '../indices';
import { finishIndex } from '../indices';
import { relativeInterval, repeatability } from '../uncertainty';

/** Pressure gradient in mmHg from a peak velocity in m/s: 4·v² (simplified Bernoulli). `gradientMmHg(3.69)` is 54.5. */
export function gradientMmHg(velocity: number): number {
  return 4 * velocity * velocity;
}

const GRADIENTS: readonly { code: string; from: MeasurementCode; name: string; source: string }[] = [
  { code: 'ao-gradient', from: 'ao-vmax', name: 'Aortic gradient', source: 'Vmax' },
  { code: 'pa-gradient', from: 'pa-vmax', name: 'Pulmonic gradient', source: 'Vmax' },
  { code: 'tr-gradient', from: 'tr-vmax', name: 'Tricuspid gradient', source: 'TR Vmax' },
  { code: 'mr-gradient', from: 'mr-vmax', name: 'Mitral gradient', source: 'MR Vmax' },
];

function gradients(facts: CaseFacts): IndexDraft[] {
  return GRADIENTS.flatMap(({ code, from, name, source }) => {
    const velocity = reading(facts, from);
    if (!velocity) return [];
    const value = gradientMmHg(velocity.value);
    return [
      {
        code,
        kind: 'gradient' as const,
        value,
        unit: 'mmHg',
        readings: [velocity],
        beats: velocity.beats.map(gradientMmHg),
        arithmetic: `${name} = 4 × (${source} ${fixed(velocity.value, 2)} m/s)² = ${fixed(value, 1)} mmHg`,
        interval: null,
        usesWeight: false,
        cautions: [],
      },
    ];
  });
}

/** Velocities that have limits of their own: cats' outflow, and the tricuspid jet on its velocity scale. */
function velocities(facts: CaseFacts): IndexDraft[] {
  const codes: readonly { code: MeasurementCode; name: string }[] =
    facts.species === 'cat'
      ? [
          { code: 'ao-vmax', name: 'Aortic Vmax' },
          { code: 'pa-vmax', name: 'Pulmonic Vmax' },
        ]
      : facts.species === 'dog'
        ? [{ code: 'tr-vmax', name: 'TR Vmax' }]
        : [];
  return codes.flatMap(({ code, name }) => {
    const velocity = reading(facts, code);
    if (!velocity) return [];
    return [
      {
        code,
        kind: 'gradient' as const,
        value: velocity.value,
        unit: 'm/s',
        readings: [velocity],
        beats: velocity.beats,
        arithmetic: `${name} = ${fixed(velocity.value, 2)} m/s`,
        interval: null,
        usesWeight: false,
        cautions: [],
      },
    ];
  });
}

/** E:A, unless the waves are likely fused: in cats above about 190/min (Petric 2012, 10.1016/j.jvc.2012.04.004). */
function eToA(facts: CaseFacts): IndexDraft | null {
  const e = reading(facts, 'mitral-e');
  const a = reading(facts, 'mitral-a');
  if (!e || !a || a.value <= 0 || wavesFused(facts)) return null;
  const value = e.value / a.value;
  return {
    code: 'e-a',
    kind: 'inflow',
    value,
    unit: 'ratio',
    readings: [e, a],
    beats: [],
    arithmetic: `E:A = ${fixed(e.value, 2)} m/s / ${fixed(a.value, 2)} m/s = ${fixed(value, 2)}`,
    interval: null,
    usesWeight: false,
    cautions: [],
  };
}

/** true when separate E and A are not to be expected at the heart rate given (cat, above 190/min). */
export function wavesFused(facts: CaseFacts): boolean {
  const rate = reading(facts, 'heart-rate');
  return facts.species === 'cat' && rate !== null && rate.value > 190;
}

/** TAPSE over the body weight, mm/kg^0.285 (Feldhutter 2022). */
function tapseNormalised(facts: CaseFacts): IndexDraft | null {
  const tapse = reading(facts, 'tapse');
  if (!tapse || facts.kg === null || facts.species !== 'dog') return null;
  const scale = exactPow(facts.kg, 0.285);
  const value = tapse.value / scale;
  const cv = repeatability('dog', 'tapse')?.cvPercent ?? null;
  return {
    code: 'tapsen',
    kind: 'inflow',
    value,
    unit: 'mm/kg^0.285',
    readings: [tapse],
    beats: tapse.beats.map((b) => b / scale),
    arithmetic: `TAPSEn = ${fixed(tapse.value, 1)} mm / (${trimmed(facts.kg, 2)} kg)^0.285 = ${fixed(value, 2)}`,
    interval: cv === null ? null : relativeInterval(value, cv),
    usesWeight: true,
    cautions: [],
  };
}

function vertebralHeartScore(facts: CaseFacts): IndexDraft | null {
  const vhs = reading(facts, 'vhs');
  if (!vhs) return null;
  return {
    code: 'vhs',
    kind: 'radiograph',
    value: vhs.value,
    unit: 'ratio',
    readings: [vhs],
    beats: vhs.beats,
    arithmetic: `VHS = ${fixed(vhs.value, 1)}`,
    interval: null,
    usesWeight: false,
    cautions: [],
  };
}

/** Gradients, velocities, inflow, right ventricular excursion, and the vertebral heart score. */
export function dopplerIndices(facts: CaseFacts): Index[] {
  const drafts = [
    ...gradients(facts),
    ...velocities(facts),
    eToA(facts),
    tapseNormalised(facts),
    vertebralHeartScore(facts),
  ];
  return drafts.filter((d): d is IndexDraft => d !== null).map((d) => finishIndex(facts, d));
}
