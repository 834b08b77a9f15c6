import {
  type CaseView,
  type ClipRecord,
  horseViews,
  type ScanPlanId,
  type Species,
  smallAnimalViews,
  type ViewId,
} from '@chordae/contract';
import { viewsOf } from '@chordae/interpretation';
import { viewNames } from '@chordae/words';
import { ViewSketch } from '../../kit/view-drawing';

const KEYS = '1234567890qwertzuiop';

/** Views by key: those of the plan first, so that the wanted ones lie on 1, 2, 3. */
export function viewsByKey(plan: ScanPlanId, species: Species): ReadonlyMap<string, ViewId> {
  const planned = viewsOf(plan).map((v) => v.view);
  const all = [
    ...new Set([...planned, ...(species === 'horse' ? horseViews : smallAnimalViews), 'other' as const]),
  ];
  return new Map(all.map((view, n) => [KEYS.charAt(n), view] as const));
}

/** Names the view of a clip: one key or one touch, with its drawing. */
export function ViewNamer({
  c,
  clip,
  onName,
}: {
  c: CaseView;
  clip: ClipRecord;
  onName: (view: ViewId | null) => void;
}) {
  return (
    <div role="group" aria-label={`View of clip ${clip.number}`}>
      <p className="label">Which view is clip {clip.number}?</p>
      <div className="namer">
        {[...viewsByKey(c.referral.plan, c.patient.species)].map(([key, view]) => (
          <button
            key={view}
            type="button"
            className="namer-view"
            aria-pressed={clip.view === view}
            onClick={() => onName(clip.view === view ? null : view)}
          >
            <ViewSketch view={view} state={clip.view === view ? 'adequate' : 'missing'} />
            <span>{viewNames[view]}</span>
            <kbd className="key" aria-hidden="true">
              {key}
            </kbd>
          </button>
        ))}
      </div>
    </div>
  );
}
