import { renderToStaticMarkup } from 'react-dom/server';
import { describe, expect, it } from 'vitest';
import { DEFAULT_KEYS } from './desk-keys';
import { type FoundRuler, rulerRowsOf, ScaleAsk } from './scale-bar';

const ruler: FoundRuler = {
  found: true,
  pxPerTick: 40,
  sePx: 0.1,
  firstTickYPx: 20,
  xPx: 600,
  ticks: 3,
  majorEvery: null,
  slantRad: 0,
  unitCandidates: [{ tickCm: 1, pxPerCm: 40, depthCm: 9, probability: 0.8 }],
  confidence: 0.9,
  reasons: ['RULER_UNIT_TO_CONFIRM'],
};
const asked = (covered: boolean) =>
  renderToStaticMarkup(
    <ScaleAsk
      implausible={false}
      filmed={null}
      ruler={ruler}
      covered={covered}
      keys={DEFAULT_KEYS}
      onScale={() => undefined}
      onTwoPoints={() => undefined}
    />,
  );

describe('the ruler that was found', () => {
  it('is drawn at its marks', () => {
    expect(rulerRowsOf(ruler)).toEqual({ x: 600, rows: [20, 60, 100] });
  });

  it('is never said to stand on marks that the reader cannot see', () => {
    expect(asked(false)).toContain('Does it stand on the picture&#x27;s own marks');
    expect(asked(true)).toContain(
      'its own marks were covered before sending. What is one mark? Whether it stands on them only the practice can see',
    );
    expect(asked(true)).toContain('One mark is 10 mm');
  });
});
