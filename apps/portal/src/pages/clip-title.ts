import type { CaseView, ViewId } from '@chordae/contract';
import { viewNames } from '@chordae/words';

/** The view of a clip: as a reader judged it, else as the sender named it; null where nobody has. */
export function standingViewId(
  c: Pick<CaseView, 'statements'>,
  clip: Pick<CaseView['clips'][number], 'id' | 'view'>,
): ViewId | null {
  let view = clip.view;
  let best = { reader: false, at: '' };
  for (const { clipId, side, at, statement } of c.statements) {
    if (clipId !== clip.id || statement.kind !== 'judgement') continue;
    const reader = side === 'reader';
    if (reader === best.reader ? at < best.at : best.reader) continue;
    best = { reader, at };
    view = statement.view;
  }
  return view;
}

/** The same in words. */
export function standingView(
  c: Pick<CaseView, 'statements'>,
  clip: Pick<CaseView['clips'][number], 'id' | 'view'>,
): string | null {
  const view = standingViewId(c, clip);
  return view && view !== 'other' ? viewNames[view] : null;
}

/** 'Clip 3, right parasternal short axis, papillary muscles' */
export function clipTitle(c: Pick<CaseView, 'clips' | 'statements'>, clipId: string): string {
  const clip = c.clips.find((k) => k.id === clipId);
  if (!clip) return 'A clip that is not in this referral';
  const view = standingView(c, clip);
  return view ? `Clip ${clip.number}, ${view}` : `Clip ${clip.number}`;
}
