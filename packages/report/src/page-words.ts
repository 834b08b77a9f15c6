import type { IndexResult, Structure, ViewId } from '@chordae/contract';
import type { OpinionDocument } from './opinion-document';

/** Words that the page needs: given from outside, so that the page can be made in any language. */
export interface PageWords {
  readonly structureName: (structure: Structure) => string;
  readonly indexLabel: (index: IndexResult) => string;
  readonly indexValue: (index: IndexResult) => string;
  readonly indexSentence: (index: IndexResult) => string;
  readonly levelName: (level: string) => string;
  readonly patientLine: (patient: OpinionDocument['patient']) => string;
  readonly moment: (iso: string) => string;
  readonly day: (isoDay: string) => string;
  readonly planName: (plan: string) => string;
  readonly viewName: (view: ViewId) => string;
  /** A sentence about clips that a camera took from a screen; empty without any. */
  readonly filmedClips: (numbers: readonly number[]) => string;
}

export interface PageInput {
  readonly document: OpinionDocument;
  readonly letterhead: {
    readonly name: string;
    readonly lines: readonly string[];
    readonly demo: boolean;
    /** A line of text at the foot, e.g. a registration number. */
    readonly footer?: string;
  };
  readonly indices: readonly IndexResult[];
  readonly flagSentences: readonly {
    readonly level: string;
    readonly sentence: string;
    readonly answer: string;
    /** The reader put it aside with a reason: it is printed among the flags, never above the conclusion. */
    readonly setAside: boolean;
  }[];
  readonly sources: readonly string[];
  readonly checks: string;
  /** Null while it is a draft: nothing was signed that could be checked. */
  readonly hash: string | null;
  /** Where the hash may be checked, e.g. `https://…/verify/`; the hash is put behind it. */
  readonly verifyAt: string | null;
}
