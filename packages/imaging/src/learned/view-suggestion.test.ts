import { createHash } from 'node:crypto';
import { randomCine, renderCine } from '@chordae/phantom';
import { describe, expect, it } from 'vitest';
import { bytesOfBase64 } from './base64';
import { fanPatches } from './fan-patch';
import { suggestedViews, suggestionOf, suggestView } from './view-suggestion';
import { viewHash, viewWeightsBase64 } from './view-weights';

/** Six frames of a phantom of a view, and its sector. */
function clipOf(seed: number, view: (typeof suggestedViews)[number]) {
  const wish = randomCine(seed, 'developing', { view, maxTiltDeg: 8 });
  const { frames, fan } = renderCine(
    { ...wish, levelShift: 0, bLines: 3, frameCount: 6, frameTimeMs: 10_000 / wish.heartRate },
    seed,
  );
  return {
    frames: frames.map((luma) => ({ widthPx: fan.widthPx, heightPx: fan.heightPx, luma })),
    fan: {
      apexXPx: fan.apexX,
      apexYPx: fan.apexY,
      leftAngleRad: -fan.halfAngle,
      rightAngleRad: fan.halfAngle,
      innerRadiusPx: fan.faceCm * fan.pxPerCm,
      outerRadiusPx: (fan.faceCm + fan.depthCm) * fan.pxPerCm,
    },
  };
}

describe('the suggestion of a view', () => {
  it('holds the numbers that its card names', () => {
    expect(createHash('sha256').update(bytesOfBase64(viewWeightsBase64)).digest('hex')).toBe(viewHash);
    expect(viewWeightsBase64.length).toBeLessThan(100_000);
  });

  it('names the view of most clips that it was not trained on', () => {
    let right = 0;
    let said = 0;
    suggestedViews.forEach((view, n) => {
      for (const seed of [900_000 + n, 900_100 + n]) {
        const { frames, fan } = clipOf(seed, view);
        const suggestion = suggestView(frames, fan);
        if (!suggestion) throw new Error('no answer');
        expect(suggestion.shares.reduce((a, b) => a + b, 0)).toBeCloseTo(1, 9);
        if (suggestion.view !== null) said += 1;
        if (suggestion.view === view) right += 1;
      }
    });
    expect(said).toBeGreaterThanOrEqual(18);
    expect(right / said).toBeGreaterThan(0.8);
  }, 60_000);

  it('says nothing where no view is likelier than the rest, or where there is nothing to look at', () => {
    expect(suggestionOf(new Float64Array(suggestedViews.length)).view).toBeNull();
    const { frames, fan } = clipOf(900_200, 'lap-4ch');
    expect(suggestView([], fan)).toBeNull();
    expect(suggestView(frames, { ...fan, outerRadiusPx: fan.innerRadiusPx })).toBeNull();
    expect(suggestView(frames, { ...fan, leftAngleRad: Number.NaN })).toBeNull();
  });
});

describe('patches of a sector', () => {
  it('hold the mean of a clip and what changes in it', () => {
    const { fan } = clipOf(900_300, 'rps-short-papillary');
    const flat = (level: number) => ({
      widthPx: 256,
      heightPx: 192,
      luma: new Uint8Array(256 * 192).fill(level),
    });
    const { mean, spread } = fanPatches([flat(40), flat(80)], fan);
    const middle = 24 * 32 + 16;
    expect(mean[middle]).toBeCloseTo(60, 9);
    expect(spread[middle]).toBeCloseTo(20, 9);
  });
});
