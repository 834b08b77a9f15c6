import type { CaseView, ViewId } from '@chordae/contract';
import { capital, formatNumber, viewNames } from '@chordae/words';
import { looks, type SeenFile } from '../../host/looks/looks';
import { Button } from '../../kit/button';
import { cutOf, marksOf, SenderHints } from '../../kit/clip-hints';
import { viewsByKey } from './view-namer';

/** What this computer sees in a picked file, before and without its upload; the view is for a person to say. */
export function SeenHere({
  c,
  arrivalId,
  fileName,
  seen,
  held,
}: {
  c: CaseView;
  arrivalId: string;
  fileName: string;
  seen: SeenFile;
  /** The patient is in distress: nothing more is asked for. */
  held: boolean;
}) {
  if (seen.state === 'looking') return <p className="hint">Its pictures are being looked at here.</p>;
  if (!seen.look?.ok) return null;
  const { look } = seen;
  const views = [...viewsByKey(c.referral.plan, c.patient.species).values()];
  return (
    <div className="seen-here">
      <p className="hint">
        {look.frameCount} {look.frameCount === 1 ? 'frame' : 'frames'},{' '}
        {look.calibrated ? 'calibrated' : 'no calibration'}
        {sayRate(seen)}
      </p>
      <p className="row">
        <select
          aria-label={`View of ${fileName}`}
          value={seen.view ?? ''}
          onChange={(e) => looks.name(arrivalId, (e.target.value || null) as ViewId | null)}
        >
          <option value="">which view? …</option>
          {views.map((view) => (
            <option key={view} value={view}>
              {capital(viewNames[view])}
            </option>
          ))}
        </select>
        {seen.view === null && look.suggested && views.includes(look.suggested) ? (
          <Button look="quiet" onClick={() => looks.name(arrivalId, look.suggested)}>
            Looks like {viewNames[look.suggested]}: yes
          </Button>
        ) : null}
      </p>
      <SenderHints assessment={look.assessment} held={held} off={c.marksOff} />
    </div>
  );
}

function sayRate(seen: SeenFile): string {
  if (!seen.look?.ok) return '';
  const { beatsPerMinute, confidence } = seen.look.assessment.cycle;
  return beatsPerMinute !== null && confidence >= 0.5
    ? `, about ${formatNumber(beatsPerMinute, 0)} beats a minute`
    : '';
}

/** Where this computer and the server do not say the same of a clip: said, and the server's stands. Hints that are switched off are not compared. */
export function sayDifferent(
  seen: SeenFile | undefined,
  there: Pick<CaseView['clips'][number], 'assessment'>,
  off: readonly string[],
): string | null {
  if (!seen?.look?.ok || there.assessment === null || seen.view !== there.assessment.view) return null;
  const both = [seen.look.assessment, there.assessment];
  const verdicts = both.map((a) => cutOf(a, off)?.verdict ?? null);
  const marks = both.map((a) =>
    marksOf(a, off)
      .map((m) => m.code)
      .sort()
      .join(),
  );
  return verdicts[0] === verdicts[1] && marks[0] === marks[1]
    ? null
    : 'This computer and the server see this clip differently. What stands here is the server’s.';
}
