import type { AssessmentSummary } from '@chordae/contract';
import {
  formatNumber,
  SYNTHETIC_CAUTION,
  sayAssessmentReason,
  sayPlaneVerdict,
  sayQualityMark,
  sayWhatToTry,
} from '@chordae/words';

/** Marks below this confidence are not worth a look; darkness is met in most real clips and only a phantom's limit. */
const SHOWN_FROM = 0.5;

/** What the lead of the reading group has switched off is shown to nobody. */
export const marksOf = (assessment: AssessmentSummary, off: readonly string[]) =>
  off.includes('picture-quality') ? [] : assessment.quality.filter((mark) => mark.confidence >= SHOWN_FROM);
export const cutOf = ({ shortAxis }: AssessmentSummary, off: readonly string[]) =>
  off.includes('short-axis-cut') ? null : shortAxis;

/** For who holds the probe: what the pictures suggest and what to try. Nothing while the patient is in distress; never a number of degrees. */
export function SenderHints({
  assessment,
  held,
  off,
}: {
  assessment: AssessmentSummary | null;
  /** The patient is in distress: nothing more is asked for. */
  held: boolean;
  off: readonly string[];
}) {
  if (!assessment || held) return null;
  const marks = marksOf(assessment, off);
  // The roundness of the aortic root is not offered: it was right too seldom on clips made for trying it.
  const tryThis = sayWhatToTry({
    ...assessment,
    shortAxis: withCurves(cutOf(assessment, off)),
    aorticRoot: null,
  });
  if (marks.length === 0 && tryThis === null) return null;
  return (
    <div className="clip-hints">
      {tryThis ? <p>{tryThis}</p> : null}
      {marks.map((mark) => {
        const said = sayQualityMark(mark.code);
        return (
          <p key={mark.code}>
            {said.says} {said.tryThis}
          </p>
        );
      })}
      <p className="hint">{SYNTHETIC_CAUTION}</p>
    </div>
  );
}

function withCurves(shortAxis: AssessmentSummary['shortAxis']) {
  return shortAxis ? { ...shortAxis, outlines: [], areasPx2: [], bloodAreaCurve: [] } : null;
}

/** For the reader: the verdict on the cut with its doubt, and how it was seen. */
export function ReaderHints({
  assessment,
  off,
}: {
  assessment: AssessmentSummary | null;
  off: readonly string[];
}) {
  if (!assessment) return null;
  const { cycle } = assessment;
  const shortAxis = cutOf(assessment, off);
  const marks = marksOf(assessment, off);
  const rate =
    cycle.beatsPerMinute !== null && cycle.confidence >= SHOWN_FROM
      ? `${formatNumber(cycle.beatsPerMinute, 0)}/min, ${formatNumber(cycle.framesPerBeat ?? 0, 0)} frames a beat. `
      : '';
  if (!shortAxis && marks.length === 0 && rate === '') return null;
  return (
    <details className="clip-hints">
      <summary>
        The pictures: {rate}
        {shortAxis ? `${sayPlaneVerdict(shortAxis.verdict)} ` : ''}
        {marks.map((mark) => sayQualityMark(mark.code).says).join(' ')}
      </summary>
      {shortAxis ? (
        <>
          <p>
            Confidence {formatNumber(shortAxis.confidence, 2)}
            {shortAxis.axisRatio === null
              ? ''
              : `; shorter by longer diameter ${formatNumber(shortAxis.axisRatio, 2)}`}
            {shortAxis.tiltLowDeg === null || shortAxis.tiltHighDeg === null
              ? ''
              : `; tilt between ${formatNumber(shortAxis.tiltLowDeg, 0)} and ${formatNumber(shortAxis.tiltHighDeg, 0)} degrees`}
            .
          </p>
          {shortAxis.reasons.map((reason) => (
            <p key={reason}>{sayAssessmentReason(reason)}</p>
          ))}
        </>
      ) : null}
      {cycle.reasons.map((reason) => (
        <p key={reason}>{sayAssessmentReason(reason)}</p>
      ))}
      <p className="hint">{SYNTHETIC_CAUTION} It changes no flag, urgency or completeness.</p>
    </details>
  );
}
