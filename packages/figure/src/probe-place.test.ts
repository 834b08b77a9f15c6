import { viewId } from '@chordae/contract';
import { describe, expect, it } from 'vitest';
import { probePlace } from './probe-place';

const numbersIn = (d: string): number[] => (d.match(/-?\d+(\.\d+)?/g) ?? []).map(Number);

describe('where the probe goes', () => {
  it('scans every standard view from the side that its name says', () => {
    for (const view of viewId.options) {
      const place = probePlace(view, view.startsWith('eq-') ? 'horse' : 'dog');
      if (view === 'other' || view === 'effusion-sweep' || view === 'lung-points') expect(place).toBeNull();
      else if (/^(rps|eq-r)/.test(view)) expect(place?.side).toBe('right');
      else if (/^(lap|lcr|eq-l)/.test(view)) expect(place?.side).toBe('left');
    }
  });

  it('turns a short axis a quarter turn from the long axis, marker from the neck to the elbow', () => {
    const turn =
      (probePlace('rps-short-papillary', 'dog')?.markerDeg ?? 0) -
      (probePlace('rps-long-4ch', 'dog')?.markerDeg ?? 0);
    expect(turn).toBe(90);
  });

  it('shows the animal from the left with its head on the left, all inside the box', () => {
    for (const kind of ['dog', 'cat', 'horse'] as const)
      for (const view of ['rps-long-4ch', 'lap-4ch'] as const) {
        const place = probePlace(view, kind);
        expect(place).not.toBeNull();
        const xs = (place?.paths ?? []).flatMap((p) => numbersIn(p.d).filter((_n, i) => i % 2 === 0));
        expect(Math.min(...xs)).toBeGreaterThanOrEqual(0);
        expect(Math.max(...xs)).toBeLessThanOrEqual(240);
      }
    // The neck lies at the right of the one drawing and at the left of the other.
    const neckX = (view: 'rps-long-4ch' | 'lap-4ch') =>
      numbersIn(probePlace(view, 'dog')?.paths[1]?.d ?? '')[0] ?? 120;
    expect(neckX('rps-long-4ch')).toBeGreaterThan(120);
    expect(neckX('lap-4ch')).toBeLessThan(120);
    expect(neckX('lap-4ch')).toBe(240 - neckX('rps-long-4ch'));
  });
});
