import type { FrameDrawing, IndexResult } from '@chordae/contract';

/** A frame to print: the painter looks its picture up by clip and frame, and draws the lines over it. */
export interface PrintedFrame {
  readonly clipId: string;
  readonly frame: number;
  /** 'Clip 3, right parasternal short axis, frame 12'. Frames are counted from 1 for people. */
  readonly label: string;
  readonly caption: string;
  /** What stands in for the picture where it cannot be seen: label, caption and what is drawn. */
  readonly alt: string;
  readonly drawings: readonly FrameDrawing[];
}

/** One printed block. Painters decide sizes and fonts; the order and the words are here. */
export type Block =
  | {
      readonly kind: 'letterhead';
      readonly name: string;
      readonly lines: readonly string[];
      readonly demo: boolean;
    }
  /** `note` says what the paper is not; `mark` says that it is not signed. */
  | {
      readonly kind: 'title';
      readonly text: string;
      readonly note: string | null;
      readonly mark: string | null;
    }
  | { readonly kind: 'heading'; readonly text: string }
  | { readonly kind: 'paragraph'; readonly text: string; readonly strong?: boolean }
  | { readonly kind: 'facts'; readonly rows: readonly (readonly [label: string, value: string])[] }
  /** What cannot wait: stands above the conclusion. */
  | { readonly kind: 'act-now'; readonly title: string; readonly lines: readonly string[] }
  /** Short answers beside their names: stage, what to do next, when to look again. */
  | {
      readonly kind: 'answers';
      readonly rows: readonly (readonly [label: string, value: string])[];
    }
  | {
      readonly kind: 'findings';
      readonly rows: readonly {
        readonly structure: string;
        readonly text: string;
        readonly quiet: boolean;
      }[];
    }
  | {
      readonly kind: 'indices';
      readonly rows: readonly {
        readonly index: IndexResult;
        readonly label: string;
        readonly value: string;
        readonly sentence: string;
      }[];
    }
  | { readonly kind: 'key-frames'; readonly frames: readonly PrintedFrame[] }
  | {
      readonly kind: 'clip-notes';
      readonly rows: readonly {
        readonly label: string;
        readonly text: string;
        readonly frame: PrintedFrame | null;
      }[];
    }
  | {
      readonly kind: 'flags';
      readonly rows: readonly {
        readonly level: string;
        readonly sentence: string;
        readonly answer: string;
      }[];
    }
  | { readonly kind: 'small'; readonly lines: readonly string[] }
  | {
      readonly kind: 'signature';
      readonly signed: boolean;
      readonly lead: string;
      readonly at: string;
      /** Hash and where it may be checked; empty while nothing is signed. */
      readonly proof: readonly string[];
    };

/** The frames that a page shows, each once: what a painter must have pictures of. */
export function framesOf(blocks: readonly Block[]): { clipId: string; frame: number }[] {
  const all = blocks.flatMap((b) =>
    b.kind === 'key-frames'
      ? b.frames
      : b.kind === 'clip-notes'
        ? b.rows.flatMap((r) => (r.frame ? [r.frame] : []))
        : [],
  );
  const seen = new Map(all.map((f) => [pictureKey(f), { clipId: f.clipId, frame: f.frame }]));
  return [...seen.values()];
}

/** Name of a picture: `pictureKey({clipId: 'c', frame: 3})` is 'c:3'. */
export function pictureKey(at: { readonly clipId: string; readonly frame: number }): string {
  return `${at.clipId}:${at.frame}`;
}
