import type { ClipFeedback, FrameDrawing, KeyFrame, OpinionText, OwnFlag } from '@chordae/contract';
import { uuidv7 } from '../../host/uuid';

/** As many as the printed page takes. */
export const MOST_KEY_FRAMES = 6;
const MOST_DRAWINGS = 12;

type Fields = Partial<OpinionText>;

/** A frame as the stage gives it: where it is, and what is drawn on it now. */
export interface FrameOnStage {
  readonly clipId: string;
  readonly frame: number;
  readonly drawings: readonly FrameDrawing[];
}

/**
 * The change that puts a frame among the key frames. The same frame again takes the drawings of now and keeps its caption.
 * Null when there is no room for another: the panel then says that one must go first.
 */
export function addKeyFrame(draft: Pick<OpinionText, 'keyFrames'>, at: FrameOnStage): Fields | null {
  const drawings = at.drawings.slice(0, MOST_DRAWINGS);
  const same = draft.keyFrames.find((k) => k.clipId === at.clipId && k.frame === at.frame);
  if (same)
    return { keyFrames: draft.keyFrames.map((k) => (k === same ? { ...k, drawings: [...drawings] } : k)) };
  if (draft.keyFrames.length >= MOST_KEY_FRAMES) return null;
  const made: KeyFrame = { id: uuidv7(), clipId: at.clipId, frame: at.frame, caption: '', drawings };
  return { keyFrames: [...draft.keyFrames, made] };
}

/** The change that moves a key frame by one place, or none where it stands at the end already. */
export function moveKeyFrame(draft: Pick<OpinionText, 'keyFrames'>, id: string, by: -1 | 1): Fields {
  const all = [...draft.keyFrames];
  const from = all.findIndex((k) => k.id === id);
  const moved = all[from];
  const other = all[from + by];
  if (!moved || !other) return {};
  all[from] = other;
  all[from + by] = moved;
  return { keyFrames: all };
}

export function changeKeyFrame(
  draft: Pick<OpinionText, 'keyFrames'>,
  id: string,
  part: Partial<KeyFrame>,
): Fields {
  return { keyFrames: draft.keyFrames.map((k) => (k.id === id ? { ...k, ...part } : k)) };
}

export function removeKeyFrame(draft: Pick<OpinionText, 'keyFrames'>, id: string): Fields {
  return { keyFrames: draft.keyFrames.filter((k) => k.id !== id) };
}

/** What is said about a clip: one note each. A frame given with it is what the note is drawn on. */
export function noteClip(
  draft: Pick<OpinionText, 'clipFeedback'>,
  clipId: string,
  part: Partial<Omit<ClipFeedback, 'clipId'>> = {},
): Fields {
  const there = draft.clipFeedback.some((f) => f.clipId === clipId);
  const clipFeedback = there
    ? draft.clipFeedback.map((f) => (f.clipId === clipId ? { ...f, ...part } : f))
    : [...draft.clipFeedback, { clipId, text: '', frame: null, drawings: [], ...part }];
  return { clipFeedback };
}

/** The change that puts the frame on the stage to what is said about its clip. */
export function drawOnNote(draft: Pick<OpinionText, 'clipFeedback'>, at: FrameOnStage): Fields {
  return noteClip(draft, at.clipId, { frame: at.frame, drawings: at.drawings.slice(0, MOST_DRAWINGS) });
}

export function removeNote(draft: Pick<OpinionText, 'clipFeedback'>, clipId: string): Fields {
  return { clipFeedback: draft.clipFeedback.filter((f) => f.clipId !== clipId) };
}

export function addOwnFlag(draft: Pick<OpinionText, 'ownFlags'>): Fields {
  return { ownFlags: [...draft.ownFlags, { id: uuidv7(), level: 'look', text: '' }] };
}

export function changeOwnFlag(
  draft: Pick<OpinionText, 'ownFlags'>,
  id: string,
  part: Partial<OwnFlag>,
): Fields {
  return { ownFlags: draft.ownFlags.map((f) => (f.id === id ? { ...f, ...part } : f)) };
}

export function removeOwnFlag(draft: Pick<OpinionText, 'ownFlags'>, id: string): Fields {
  return { ownFlags: draft.ownFlags.filter((f) => f.id !== id) };
}

/** Adds a sentence to what stands in a field, on a line of its own; one that stands there already is not added again. */
export function withSentence(text: string, sentence: string): string {
  if (text.includes(sentence)) return text;
  return text.trim() === '' ? sentence : `${text.replace(/\s+$/, '')}\n${sentence}`;
}
