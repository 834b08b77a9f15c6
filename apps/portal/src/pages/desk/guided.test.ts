import type { MeasurementRecord, ViewId } from '@chordae/contract';
import { scanPlans, unitOf, viewsFor, wantedMeasurements } from '@chordae/interpretation';
import { canKeep } from '@chordae/measurement';
import { measuringGuides } from '@chordae/words';
import { describe, expect, it } from 'vitest';
import { SHAPE_OF } from './canvas/reading';
import { clipFor, frameFor, nextStep, wantedSteps } from './guided';

const record = (code: string, change: Partial<MeasurementRecord> = {}) =>
  ({ code, side: 'reader', supersededById: null, withdrawn: false, ...change }) as MeasurementRecord;

describe('the guided set', () => {
  it('goes through what the question wants, in its order, atrium and aorta in one', () => {
    const steps = wantedSteps('small-dog-murmur', 'dog', []);
    expect(steps.map((s) => s.code).slice(0, 4)).toEqual(['lvidd', 'lvids', 'la-sax', 'mitral-e']);
    expect(nextStep(steps, null)?.code).toBe('lvidd');
    expect(nextStep(steps, 'lvidd')?.code).toBe('lvids');
  });

  it('leaves out what a reader has measured, not what the sender typed or what was replaced', () => {
    const steps = wantedSteps('small-dog-murmur', 'dog', [
      record('lvidd'),
      record('lvids', { side: 'sender' }),
      record('la-sax', { withdrawn: true }),
    ]);
    expect(nextStep(steps, null)?.code).toBe('lvids');
    expect(nextStep(steps, 'lvids')?.code).toBe('la-sax');
    const all = steps.map((s) => record(s.code));
    expect(nextStep(wantedSteps('small-dog-murmur', 'dog', all), null)).toBeNull();
  });

  it('comes back to what was passed over', () => {
    const steps = wantedSteps('outflow', 'dog', []);
    expect(nextStep(steps, steps.at(-1)?.code ?? null)?.code).toBe(steps[0]?.code);
  });

  it('names a tool that can give each wanted quantity its unit', () => {
    for (const plan of scanPlans)
      for (const { code } of wantedMeasurements(plan.id, 'dog')) {
        const guide = measuringGuides[code];
        if (!guide) continue;
        const { tool } = guide;
        if (tool === 'calibration' || tool === 'cavity') throw new Error(`${code} is no measurement`);
        expect(canKeep(SHAPE_OF[tool], unitOf(code))).toBe(true);
      }
  });

  it('knows how every quantity with a view and a drawable unit is measured', () => {
    const drawable = ['mm', 'cm2', 'ml', 'm/s', 'cm/s', 'cm', 'ms'];
    const without = (Object.keys(SHAPE_OF).length > 0 ? scanPlans : []).flatMap((p) =>
      wantedMeasurements(p.id, 'dog')
        .map((m) => m.code)
        .filter((c) => viewsFor(c).length > 0 && drawable.includes(unitOf(c)) && !measuringGuides[c]),
    );
    expect(without).toEqual([]);
  });
});

describe('where to measure', () => {
  const clips: { id: string; view: ViewId | null }[] = [
    { id: 'a', view: 'rps-long-4ch' },
    { id: 'b', view: 'rps-short-papillary' },
    { id: 'c', view: 'rps-short-papillary' },
    { id: 'd', view: null },
  ];
  const find = (views: ViewId[], shown: string[]) =>
    clipFor({ views }, clips, (c) => c.view, shown)?.id ?? null;

  it('is the first view that came, a clip that is shown before others', () => {
    expect(find(['rps-short-papillary', 'rps-long-4ch'], [])).toBe('b');
    expect(find(['rps-short-papillary', 'rps-long-4ch'], ['a', 'c'])).toBe('c');
    expect(find(['rps-short-chordae', 'rps-long-4ch'], [])).toBe('a');
    expect(find(['lap-4ch'], ['a'])).toBeNull();
  });

  it('is the moment that was marked or is suggested, early diastole just after systole', () => {
    const cycle = {
      endDiastole: [{ frame: 4, from: 'marked' as const }],
      endSystole: [
        { frame: 12, from: 'suggested' as const },
        { frame: 30, from: 'suggested' as const },
      ],
      beats: [],
      source: null,
    };
    expect(frameFor('end-diastole', cycle, 9, 40)).toEqual({ frame: 4, from: 'marked' });
    expect(frameFor('end-systole', cycle, 12, 40)?.frame).toBe(30);
    expect(frameFor('early-diastole', cycle, 0, 40)).toEqual({ frame: 13, from: 'suggested' });
    expect(frameFor('any', cycle, 0, 40)).toBeNull();
  });
});
