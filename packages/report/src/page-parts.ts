import type { FrameDrawing } from '@chordae/contract';
import type { Block, PrintedFrame } from './blocks';
import { isScanReport, type OpinionDocument } from './opinion-document';
import type { PageInput, PageWords } from './page-words';

/** Key frames, then what is said about how it was scanned. */
export function pictures(d: OpinionDocument, words: PageWords): Block[] {
  const blocks: Block[] = [];
  const frames = d.text.keyFrames.map((k) => printedFrame(d, words, k, k.caption));
  if (frames.length > 0) blocks.push({ kind: 'heading', text: 'Key frames' }, { kind: 'key-frames', frames });
  const rows = d.text.clipFeedback
    .filter((f) => f.text.trim() !== '' || f.frame !== null || f.drawings.length > 0)
    .map((f) => ({
      label: clipLabel(d, words, f.clipId),
      text: f.text,
      frame: f.frame === null ? null : printedFrame(d, words, { ...f, frame: f.frame }, ''),
    }));
  if (d.text.technique.trim() !== '' || rows.length > 0)
    blocks.push({ kind: 'heading', text: 'On technique' });
  if (d.text.technique.trim() !== '') blocks.push({ kind: 'paragraph', text: d.text.technique });
  if (rows.length > 0) blocks.push({ kind: 'clip-notes', rows });
  return blocks;
}

/** 'Clip 3, right parasternal short axis, papillary muscles' */
function clipLabel(d: OpinionDocument, words: PageWords, clipId: string): string {
  const clip = d.clips.find((c) => c.id === clipId);
  if (!clip) return isScanReport(d.kind) ? 'A clip of this scan' : 'A clip of this referral';
  return clip.view && clip.view !== 'other'
    ? `Clip ${clip.number}, ${words.viewName(clip.view)}`
    : `Clip ${clip.number}`;
}

function printedFrame(
  d: OpinionDocument,
  words: PageWords,
  at: { clipId: string; frame: number; drawings: readonly FrameDrawing[] },
  caption: string,
): PrintedFrame {
  const label = `${clipLabel(d, words, at.clipId)}, frame ${at.frame + 1}`;
  const drawn = at.drawings.map((x) => x.label.trim()).filter((t) => t !== '');
  const said = [
    label,
    caption.trim().replace(/\.$/, ''),
    drawn.length > 0 ? `drawn: ${drawn.join(', ')}` : '',
  ]
    .filter((t) => t !== '')
    .join('. ');
  return { clipId: at.clipId, frame: at.frame, label, caption, alt: said, drawings: at.drawings };
}

/** Flags of the reader's own, then the computed ones with what the reader made of them. */
export function flags(input: PageInput, words: PageWords): Block[] {
  // Those that cannot wait stand above the conclusion already.
  const own = input.document.text.ownFlags.filter((f) => f.text.trim() !== '' && f.level !== 'act-now');
  const blocks: Block[] = [];
  if (own.length > 0)
    blocks.push(
      { kind: 'heading', text: 'Raised by the reader' },
      {
        kind: 'flags',
        rows: own.map((f) => ({ level: words.levelName(f.level), sentence: f.text, answer: '' })),
      },
    );
  if (input.flagSentences.length > 0)
    blocks.push(
      {
        kind: 'heading',
        text: isScanReport(input.document.kind)
          ? 'Flags computed, and what was made of them by who scanned'
          : 'Flags computed, and what the reader made of them',
      },
      {
        kind: 'flags',
        rows: input.flagSentences.map(({ level, sentence, answer }) => ({
          level: words.levelName(level),
          sentence,
          answer,
        })),
      },
    );
  return blocks;
}
