import type { CaseView, ClipRecord, FilmedScaleWants } from '@chordae/contract';
import { cmPerPixelFrom } from '@chordae/measurement';
import { formatNumber, sayFilmedWants } from '@chordae/words';
import { useQuery } from '@tanstack/react-query';
import { useEffect, useRef, useState } from 'react';
import { call } from '../../host/api';
import { Button } from '../../kit/button';
import { currentOf } from './canvas/drawing';
import type { Session } from './canvas/session';
import type { DeskKeys } from './desk-keys';
import { showKey } from './desk-keys';
import { sayFinding } from './say-finding';

export interface Scale {
  readonly cmPerPixel: number;
  readonly from: 'two-points' | 'ruler';
  readonly points: [{ x: number; y: number }, { x: number; y: number }] | null;
  readonly distanceMm: number | null;
}

/** The ruler that was found in a clip's pictures, asked for only where a scale is missing. */
export function useRuler(c: CaseView, clip: ClipRecord | null, wanted: boolean) {
  const params = {
    practiceId: c.referral.practiceId,
    referralId: c.referral.id,
    clipId: clip?.id ?? '',
  };
  const asked = wanted && clip !== null && clip.assessment !== null;
  const { data } = useQuery({
    queryKey: ['assessment', params.practiceId, params.referralId, params.clipId],
    queryFn: ({ signal }) => call('clipAssessment', { params, signal }),
    enabled: asked,
    staleTime: 5 * 60_000,
  });
  const ruler = asked ? data?.ruler : undefined;
  return ruler?.found && ruler.unitCandidates.length > 0 ? ruler : null;
}
export type FoundRuler = NonNullable<ReturnType<typeof useRuler>>;

/** Rows of the found ruler's marks, to be drawn over the picture. */
export function rulerRowsOf(ruler: FoundRuler | null) {
  if (!ruler || ruler.xPx === null || ruler.firstTickYPx === null || ruler.pxPerTick === null) return null;
  const { firstTickYPx, pxPerTick, ticks, xPx } = ruler;
  return { x: xPx, rows: Array.from({ length: ticks }, (_, n) => firstTickYPx + n * pxPerTick) };
}

function sayRuler(ruler: FoundRuler | null, covered: boolean): string {
  if (!ruler) return ' No ruler was found in its pictures.';
  return covered
    ? ` A ruler with ${ruler.ticks} marks was found and is drawn over the picture; its own marks were covered before sending. What is one mark? Whether it stands on them only the practice can see: ask there if in doubt.`
    : ` A ruler with ${ruler.ticks} marks was found, drawn over the picture now. Does it stand on the picture's own marks (if they were not covered before sending), and what is one mark?`;
}

/** A clip without a scale says so, and asks: the found ruler, or two points. No millimetre before that. */
export function ScaleAsk({
  implausible,
  filmed,
  ruler,
  covered,
  keys,
  onScale,
  onTwoPoints,
}: {
  /** The file has a scale, but one that contradicts the picture. */
  implausible: boolean;
  /** Filmed from a screen: two distances in different directions must agree first. */
  filmed: { readonly wants: FilmedScaleWants } | null;
  ruler: FoundRuler | null;
  /** The picture's own marks did not leave the practice. */
  covered: boolean;
  keys: DeskKeys;
  onScale: (scale: Scale) => void;
  onTwoPoints: () => void;
}) {
  if (filmed)
    return (
      <div className="stage-says scale-ask" role="group" aria-label="Scale of this clip">
        <p>
          <b>Filmed or photographed from a screen.</b> Ratios can be measured and are marked. No millimetre
          before two known distances in different directions agree. {sayFilmedWants(filmed.wants)}
        </p>
        <p className="row">
          <Button keyHint={showKey(keys['tool-calibration'])} onClick={onTwoPoints}>
            Two points of a known distance
          </Button>
        </p>
      </div>
    );
  return (
    <div className="stage-says scale-ask" role="group" aria-label="Scale of this clip">
      <p>
        <b>This clip has no scale{implausible ? ' that can be true' : ''}.</b> No millimetre is given for it
        until somebody says how long a pixel is.
        {sayRuler(ruler, covered)}
      </p>
      <p className="row">
        {ruler?.unitCandidates.slice(0, 3).map((candidate) => (
          <Button
            key={candidate.tickCm}
            onClick={() =>
              onScale({
                cmPerPixel: 1 / candidate.pxPerCm,
                from: 'ruler',
                points: null,
                distanceMm: null,
              })
            }
          >
            One mark is {formatNumber(candidate.tickCm * 10, 0)} mm: {formatNumber(candidate.depthCm, 1)} cm
            deep
          </Button>
        ))}
        <Button keyHint={showKey(keys['tool-calibration'])} onClick={onTwoPoints}>
          By two points of a known distance
        </Button>
      </p>
    </div>
  );
}

/** Two points stand: their true distance in mm makes the scale. */
export function ScaleByPoints({
  session,
  refused,
  onScale,
  onLetGo,
}: {
  session: Session;
  /** Why it could not be kept; null where nothing stands in the way. */
  refused: string | null;
  onScale: (scale: Scale) => void;
  onLetGo: () => void;
}) {
  const field = useRef<HTMLInputElement>(null);
  const [text, setText] = useState('');
  const [problem, setProblem] = useState<string | null>(null);
  const part = currentOf(session.document)?.parts[0];
  const [a, b] = part?.points ?? [];
  const done = part?.done === true;
  useEffect(() => {
    if (done) field.current?.focus();
  }, [done]);
  const distanceMm = Number(text.trim().replace(',', '.'));
  const submit = () => {
    if (!a || !b) return;
    if (!(distanceMm > 0 && distanceMm <= 600)) return setProblem('Say the distance in mm, up to 600.');
    const scale = cmPerPixelFrom(a, b, distanceMm);
    if (!scale.ok) return setProblem(sayFinding(scale.finding));
    onScale({ cmPerPixel: scale.value, from: 'two-points', points: [a, b], distanceMm });
  };
  return (
    <form
      className="stage-bar measure"
      id="measure-bar"
      aria-label="Scale by two points"
      onSubmit={(event) => {
        event.preventDefault();
        submit();
      }}
    >
      <b className="measure-tool">Scale by two points</b>
      {done ? (
        <>
          <label className="measure-next" htmlFor="scale-mm">
            Their distance in mm
          </label>
          <input
            id="scale-mm"
            ref={field}
            className="input-short"
            inputMode="decimal"
            value={text}
            onChange={(e) => {
              setText(e.target.value);
              setProblem(null);
            }}
            onKeyDown={(e) => {
              if (e.key === 'Escape') onLetGo();
            }}
          />
          <Button type="submit" look="main" keyHint="Enter">
            This is the scale
          </Button>
        </>
      ) : (
        <span className="measure-next">
          Put both ends of a distance that you know: the farthest apart, the better.
        </span>
      )}
      <Button look="quiet" keyHint="Esc" onClick={onLetGo}>
        Let go
      </Button>
      {(problem ?? refused) ? (
        <p className="problem" role="alert">
          {problem ?? refused}
        </p>
      ) : null}
    </form>
  );
}
