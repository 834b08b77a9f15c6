/** The worked examples of the package's README, computed again: the text there is what the engine says. */
import { readFileSync } from 'node:fs';
import { interpret } from '@chordae/interpretation';
import { sayFlag } from '@chordae/words';
import { describe, expect, it } from 'vitest';
import { caseOf } from './case-of';

const readme = readFileSync(new URL('../../packages/interpretation/README.md', import.meta.url), 'utf8');

describe('README of the interpretation package', () => {
  it('shows the small dog as the engine answers it', () => {
    const r = interpret(
      caseOf({
        breed: 'cavalier-king-charles-spaniel',
        kg: 7.4,
        measure: { lvidd: 33.2, lvids: 18, 'la-sax': 24, 'ao-sax': 12.6 },
        observe: { 'murmur-grade': '4', 'ever-in-failure': 'no' },
      }),
    );
    for (const code of ['lviddn', 'fs', 'la-ao']) {
      expect(readme).toContain(r.indices.find((i) => i.code === code)?.arithmetic ?? 'index not computed');
    }
    const flag = r.flags.find((f) => f.code === 'MITRAL_B2_ECHO_CRITERIA_MET');
    expect(readme).toContain(`> ${flag ? sayFlag(flag).sentence : 'flag not raised'}`);
  });

  it('shows the breathless cat as the engine answers it', () => {
    const r = interpret(
      caseOf({
        species: 'cat',
        kg: null,
        plan: 'breathless',
        measure: { 'la-sax': 19, 'ao-sax': 9.5 },
        observe: {
          'open-mouth-breathing': 'yes',
          'b-lines': 'many-both-sides',
          'pericardial-fluid': 'small',
        },
      }),
    );
    const flag = r.flags.find((f) => f.code === 'FITS_LEFT_HEART_FAILURE');
    expect(readme).toContain(`> ${flag ? sayFlag(flag, { phone: '555 0100' }).sentence : 'flag not raised'}`);
    expect(readme).toContain(`Of ${r.checks.of} checks ${r.checks.ran} ran`);
    expect(r.urgencyProposed).toBe('emergency');
  });
});
