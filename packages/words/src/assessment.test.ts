import {
  assessedCycle,
  assessedLongAxis,
  assessedRoot,
  assessedRuler,
  assessedSector,
  assessedShortAxis,
  calibrationReason,
  planeVerdict,
  qualityCode,
} from '@chordae/contract';
import { describe, expect, it } from 'vitest';
import { sayAssessmentReason, sayPlaneVerdict, sayQualityMark, sayWhatToTry } from './en/assessment';

const codes = [
  assessedSector.shape.reasons.element,
  assessedRuler.shape.reasons.element,
  assessedCycle.shape.reasons.element,
  assessedShortAxis.shape.reasons.element,
  assessedRoot.shape.reasons.element,
  assessedLongAxis.shape.reasons.element,
  calibrationReason,
].flatMap((list): readonly string[] => list.options);

const shortAxis = {
  verdict: 'off-axis' as const,
  confidence: 0.8,
  reasons: [],
  axisRatio: 0.85,
  tiltDeg: 33,
  tiltLowDeg: 29,
  tiltHighDeg: 37,
  longDiameterDeg: 4,
  eccentricityDiastole: 1.1,
  eccentricitySystole: 1.2,
  fractionalAreaChange: 0.5,
  bloodAreaCurve: [],
  outlines: [],
  areasPx2: [],
  endDiastole: null,
};

describe('an assessment in words', () => {
  it('has one sentence for each code, ending as a sentence does', () => {
    expect(codes.length).toBeGreaterThan(30);
    for (const code of codes) {
      expect(sayAssessmentReason(code), code).toMatch(/^[A-Z].*\.$/);
      expect(sayAssessmentReason(code)).not.toContain(code);
    }
    for (const code of qualityCode.options) {
      expect(sayQualityMark(code).says).toMatch(/\.$/);
      expect(sayQualityMark(code).tryThis).toMatch(/\.$/);
    }
    expect(sayAssessmentReason('SOMETHING_NEW')).toContain('SOMETHING_NEW');
  });

  it('tells the sender what to try, without degrees and without doubt passed off as knowledge', () => {
    const said = sayWhatToTry({ shortAxis, aorticRoot: null, longAxis: null });
    expect(said).toContain('probe');
    expect(said).not.toMatch(/\d|°|degree/);
    expect(
      sayWhatToTry({ shortAxis: { ...shortAxis, confidence: 0.2 }, aorticRoot: null, longAxis: null }),
    ).toBeNull();
    for (const verdict of ['not-round', 'not-assessable', 'on-axis'] as const)
      expect(
        sayWhatToTry({ shortAxis: { ...shortAxis, verdict }, aorticRoot: null, longAxis: null }),
      ).toBeNull();
  });

  it('never calls a flattened ventricle tilted', () => {
    expect(sayPlaneVerdict('not-round')).toContain('tilt or flattening');
    for (const verdict of planeVerdict.options) expect(sayPlaneVerdict(verdict)).not.toMatch(/\d/);
  });
});
