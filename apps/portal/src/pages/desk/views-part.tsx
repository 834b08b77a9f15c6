import type { CaseView, ClipRecord, Interpretation } from '@chordae/contract';
import { capital, sayViewCompleteness, viewNames } from '@chordae/words';
import { useState } from 'react';
import { Button } from '../../kit/button';
import { ViewSketch } from '../../kit/view-drawing';
import { JudgeDialog, judgementOf } from './judge-dialog';
import { showFrame } from './show-frame';

const JUDGED = { adequate: 'adequate', doubtful: 'doubtful', 'not-possible': 'not usable' } as const;

/** Completeness as drawings, and each clip with what the reader made of its view. */
export function ViewsPart({
  c,
  result,
  mayWrite,
}: {
  c: CaseView;
  result: Interpretation;
  mayWrite: boolean;
}) {
  const [judging, setJudging] = useState<ClipRecord | null>(null);
  return (
    <div className="stack">
      <h3>Views for this question</h3>
      <ul className="views">
        {result.completeness.views.map((view) => {
          const said = sayViewCompleteness(view);
          // Whoever reads must not ask for a view again that is only slow.
          const arriving = view.state === 'missing' && c.firstFrames.some((f) => f.view === view.view);
          return (
            <li key={view.view}>
              <ViewSketch view={view.view} state={view.state} />
              {capital(said.name)}: <b>{arriving ? 'clip still arriving' : said.state}</b>
              {view.why ? <span className="hint"> {view.why}</span> : null}
            </li>
          );
        })}
      </ul>
      {c.clips.length > 0 ? <h3>Clips</h3> : null}
      <ul className="judged">
        {c.clips.map((clip) => (
          <li key={clip.id}>
            <button
              type="button"
              className="number-link"
              aria-label={`Show clip ${clip.number}`}
              onClick={() => showFrame({ clipId: clip.id, frame: 0 })}
            >
              {clip.number}
            </button>
            <span>{sayClip(c, clip)}</span>
            {mayWrite ? (
              <Button
                look="quiet"
                aria-label={`Judge the view of clip ${clip.number}`}
                onClick={() => setJudging(clip)}
              >
                Judge
              </Button>
            ) : null}
          </li>
        ))}
      </ul>
      {judging ? <JudgeDialog c={c} clip={judging} onClose={() => setJudging(null)} /> : null}
    </div>
  );
}

/** 'Short axis, papillary: adequate (the sender named it otherwise)'. */
function sayClip(c: CaseView, clip: ClipRecord): string {
  const judged = judgementOf(c.statements, clip.id);
  if (!judged) return `${clip.view ? capital(viewNames[clip.view]) : 'View not named'}, not judged yet`;
  const other = clip.view !== null && clip.view !== judged.view ? ', named otherwise by the sender' : '';
  const cut = judged.axis === null ? '' : judged.axis === 'on-axis' ? ', cut square' : ', tilted';
  const why = judged.why ? `: ${judged.why}` : '';
  return `${capital(viewNames[judged.view])}, ${JUDGED[judged.judged]}${cut}${other}${why}`;
}
