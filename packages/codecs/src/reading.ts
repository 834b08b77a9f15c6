import type { Box, ClipDescription, MachineReport, MachineSays, MaskState, Problem } from '@chordae/contract';

/** Bounds the decoder process. Times in ms, sizes in MB (1,000,000 bytes). */
export interface DecoderLimits {
  readonly wallMs: number;
  readonly heapMb: number;
  readonly rssMb: number;
  /** Own and outgoing pack together. */
  readonly outputMb: number;
}

export const usualLimits: DecoderLimits = { wallMs: 300_000, heapMb: 256, rssMb: 700, outputMb: 4_000 };

/**
 * What stays visible in what leaves: decided from the file's own regions, a drawn box, the outline of the sector, or all of
 * it (a person confirmed that no name is there).
 */
export type Keep = 'auto' | 'all' | Box | KeepWithin | KeepWithCover;

/** What lies within a closed outline: x and y in turn, pixels of the picture. */
export interface KeepWithin {
  readonly outline: readonly number[];
}

/** As `keep`, but for the covered places, which become black as well. */
export interface KeepWithCover {
  readonly keep: 'auto' | Box | KeepWithin;
  readonly cover: readonly Box[];
}

export interface MakePacksRequest {
  readonly kind: 'make-packs';
  readonly originalPath: string;
  /** null: the own pack stands already and is not written again (a later decision about the mask). */
  readonly ownPath: string | null;
  /** null: only the own pack is wanted now. */
  readonly outgoingPath: string | null;
  readonly keep: Keep;
}

export interface ExactFrameRequest {
  readonly kind: 'exact-frame';
  readonly originalPath: string;
  /** From 0. */
  readonly frame: number;
  /** 'own': nothing masked (for the practice only); else what stays visible. */
  readonly keep: Keep | 'own';
}

/** Takes an archive apart; `make-packs` refuses one with ARCHIVE_TO_UNPACK. */
export interface UnpackRequest {
  readonly kind: 'unpack';
  readonly originalPath: string;
  /** Where the members are written, under numbers. */
  readonly folder: string;
  /** All members together. */
  readonly mostBytes: number;
}

export interface UnpackedMember {
  readonly path: string;
  /** As in the archive, cleaned, with slashes; for showing only. */
  readonly name: string;
  readonly sizeBytes: number;
  readonly sha256: string;
}

export interface Unpacked {
  readonly kind: 'unpack';
  readonly files: number;
  readonly members: readonly UnpackedMember[];
  /** What was left in the archive, by reason. */
  readonly left: {
    readonly other: number;
    readonly damaged: number;
    readonly archives: number;
    readonly directories: number;
    readonly unsafe: number;
    readonly locked: number;
    readonly unreadable: number;
  };
  /** Files that a DICOM directory in it names but that are not there. */
  readonly missing: number;
}

/** Reads a machine's structured report; `make-packs` refuses one with DICOM_REPORT. */
export interface ReadReportRequest {
  readonly kind: 'read-report';
  readonly originalPath: string;
}

export interface ReadReportAnswer {
  readonly kind: 'read-report';
  readonly report: MachineReport;
  readonly machine: MachineSays;
}

/** Decodes every frame and writes nothing. */
export interface InspectRequest {
  readonly kind: 'inspect';
  readonly originalPath: string;
}

export interface Inspected {
  readonly kind: 'inspect';
  readonly description: ClipDescription;
  readonly machine: MachineSays;
  readonly mask: MaskState;
  readonly keepBoxes: readonly Box[] | null;
  readonly stillMarks: readonly Box[];
  readonly framesDecoded: number;
  /** Over the pixels of all frames, grey or RGB. */
  readonly pixelsSha256: string;
  readonly originalSha256: string;
}

/** Writes the first frames as plain luma, one byte a pixel, one frame after the other: for computing on pictures. */
export interface GreyFramesRequest {
  readonly kind: 'grey-frames';
  readonly originalPath: string;
  readonly outPath: string;
  readonly mostFrames: number;
}

export interface GreyFrames {
  readonly kind: 'grey-frames';
  readonly description: ClipDescription;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly frames: number;
}

export type ReadOriginalRequest =
  | MakePacksRequest
  | InspectRequest
  | ExactFrameRequest
  | GreyFramesRequest
  | UnpackRequest
  | ReadReportRequest;

export interface WrittenPack {
  readonly bytes: number;
  readonly sha256: string;
}

export interface MadePacks {
  readonly kind: 'make-packs';
  readonly description: ClipDescription;
  readonly machine: MachineSays;
  readonly mask: MaskState;
  /** The visible rectangles of what leaves; null: all of it, or not decided (see mask). */
  readonly keepBoxes: readonly Box[] | null;
  /** Smallest box round keepBoxes, to show; never mask with it: names may stand between two regions. */
  readonly keepBox: Box | null;
  readonly own: WrittenPack | null;
  readonly outgoing: WrittenPack | null;
  readonly originalSha256: string;
  readonly versions: { readonly reader: string; readonly packFormat: number; readonly encoder: string };
}

export interface ExactFrame {
  readonly kind: 'exact-frame';
  readonly png: Uint8Array;
  readonly widthPx: number;
  readonly heightPx: number;
}

export type Outcome<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly problem: Problem };
export type ReadOriginalOutcome<R extends ReadOriginalRequest> = Outcome<
  R extends MakePacksRequest
    ? MadePacks
    : R extends UnpackRequest
      ? Unpacked
      : R extends ReadReportRequest
        ? ReadReportAnswer
        : R extends InspectRequest
          ? Inspected
          : R extends GreyFramesRequest
            ? GreyFrames
            : ExactFrame
>;
