import { type CaseView, type ClipRecord, standingStatement, type ViewId } from '@chordae/contract';
import { FILMED_NOTE, viewNames } from '@chordae/words';
import { pathOf } from '../../host/api';
import type { CycleFacts } from '../../host/clips/beats';
import { timesOrGuess } from '../../host/clips/frame-clock';
import { sayDay } from '../../kit/time';
import type { MeasuredClip } from './canvas/reading';
import { scaleSaid } from './canvas/reading';
import { viewOf } from './keep-reading';

/** What a tile shows: a clip of this case, one of an earlier scan of the same patient, or a drawn example. */
export interface StageClip {
  /** The same content has the same key. */
  readonly key: string;
  readonly kind: 'today' | 'earlier' | 'example';
  readonly id: string;
  readonly name: string;
  /** What it is where it is not of today; empty else. */
  readonly note: string;
  readonly view: ViewId | null;
  /** Null for an example, which has no file. */
  readonly clip: ClipRecord | null;
  readonly packUrl: string | null;
  readonly frameUrl: ((frame: number) => string) | null;
  readonly measured: MeasuredClip;
  readonly cycle: CycleFacts;
}

type Marks = { readonly endDiastole: readonly number[]; readonly endSystole: readonly number[] };

/** Marks that stand for a clip; null where nobody marked. */
export function marksOf(c: CaseView, clipId: string): Marks | null {
  return standingStatement(c.statements, clipId, 'marks')?.statement ?? null;
}

/** The outline that a person corrected on a frame; null where nobody did. */
export function outlineOf(c: CaseView, clipId: string, frame: number) {
  return standingStatement(c.statements, clipId, 'outline', frame)?.statement.points ?? null;
}

/** A clip of a case, of today or of an earlier scan, as a tile shows it. */
export function stageClip(c: CaseView, clip: ClipRecord, kind: 'today' | 'earlier' = 'today'): StageClip {
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id, clipId: clip.id };
  const view = viewOf(c, clip);
  const { description, assessment } = clip;
  const measured = { id: clip.id, description, ...scaleSaid(c.statements, clip.id) };
  const day = c.scans.find((s) => s.id === clip.scanId)?.scannedOn;
  return {
    key: `${kind}:${clip.id}`,
    kind,
    id: clip.id,
    name: `Clip ${clip.number}, ${view ? viewNames[view] : 'view not named'}`,
    note: [
      kind === 'earlier' ? `earlier scan${day ? ` of ${sayDay(day)}` : ''}` : '',
      measured.filmed ? FILMED_NOTE : '',
    ]
      .filter((t) => t !== '')
      .join(', '),
    view,
    clip,
    packUrl: pathOf('clipPack', place),
    frameUrl: (frame) => pathOf('clipFrame', { ...place, frame }),
    measured,
    cycle: {
      times: timesOrGuess(description.frameTimesMs, description.frameCount),
      rWaveTimesMs: description.rWaveTimesMs,
      marks: marksOf(c, clip.id),
      suggested: assessment?.cycle ?? null,
    },
  };
}

/** A drawn example of a view: no patient, nothing to be measured on it. */
export function exampleClip(view: ViewId, species: string): StageClip {
  return {
    key: `example:${view}:${species}`,
    kind: 'example',
    id: `example-${view}`,
    name: `Example, ${viewNames[view]}`,
    note: 'drawn example, not this patient',
    view,
    clip: null,
    packUrl: null,
    frameUrl: null,
    measured: {
      id: `example-${view}`,
      description: { regions: [], widthPx: 0, heightPx: 0 },
      calibration: null,
    },
    cycle: { times: [], rWaveTimesMs: [], marks: null, suggested: null },
  };
}
