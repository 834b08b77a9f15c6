import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { canonicalText } from '../hash/canonical-text';
import { sha256Hex } from '../hash/sha256';
import { breeds } from './breeds-data';
import { actNowThresholds, limitEntries, limitsHash, mitralScore, repeatabilityEntries } from './limits-data';

const shared = (name: string): unknown =>
  JSON.parse(readFileSync(new URL(`../../../../shared/${name}`, import.meta.url), 'utf8'));

describe('limits and breeds in the package', () => {
  it('equal the shared files', () => {
    const files = ['dog', 'cat', 'horse-and-others'].flatMap(
      (n) => (shared(`limits/${n}.json`) as { limits: unknown[] }).limits,
    );
    expect(limitEntries).toEqual(files);
    expect(breeds).toEqual((shared('breeds.json') as { breeds: unknown }).breeds);
    expect(mitralScore).toEqual(shared('limits/mitral-score.json'));
    expect(actNowThresholds).toEqual((shared('limits/act-now.json') as { thresholds: unknown }).thresholds);
    expect(repeatabilityEntries).toEqual(
      (shared('limits/repeatability.json') as { repeatability: unknown }).repeatability,
    );
  });

  it('are hashed over all of it', () => {
    const all = {
      limits: limitEntries,
      repeatability: repeatabilityEntries,
      actNow: actNowThresholds,
      mitralScore,
      breeds,
    };
    expect(limitsHash).toBe(sha256Hex(canonicalText(all)));
  });

  it('have unique ids, a citation, a population and ordered bounds', () => {
    expect(new Set(limitEntries.map((l) => l.id)).size).toBe(limitEntries.length);
    for (const l of limitEntries) {
      expect(l.citation.length, l.id).toBeGreaterThan(10);
      expect(l.population.length, l.id).toBeGreaterThan(3);
      if (l.form.kind === 'fixed' && l.form.lower !== null && l.form.upper !== null) {
        expect(l.form.lower, l.id).toBeLessThan(l.form.upper);
      }
      if (l.form.kind === 'power')
        expect(l.form.lowerA < l.form.meanA && l.form.meanA < l.form.upperA, l.id).toBe(true);
    }
  });

  it('name only breeds that exist', () => {
    const known = new Set(breeds.map((b) => `${b.species}:${b.code}`));
    expect(known.size).toBe(breeds.length);
    for (const l of limitEntries)
      for (const b of l.breeds ?? []) expect(known.has(`${l.species}:${b}`), l.id).toBe(true);
  });
});
