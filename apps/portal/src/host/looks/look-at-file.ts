import { browserPlatform, filmDecoder, type OpenedHere, openInBrowser } from '@chordae/codecs/browser';
import type { Assessment, AssessmentSummary, ViewId } from '@chordae/contract';
import {
  type AssessOptions,
  assessClip,
  detectSectorGeometry,
  type GrayFrame,
  mostFrames,
  suggestView,
} from '@chordae/imaging';

export interface LookOptions {
  readonly view: ViewId | null;
  readonly species: AssessOptions['species'];
  readonly weightKg: number | null;
}

export type Look =
  | {
      readonly ok: true;
      readonly frameCount: number;
      readonly calibrated: boolean;
      readonly assessment: AssessmentSummary;
      /** What the pictures look like to the small model; a person says what it is. */
      readonly suggested: ViewId | null;
      readonly tookMs: number;
    }
  | { readonly ok: false; readonly code: string; readonly frame?: number };

/** Frames are kept for a second look under another view, until another file is looked at. */
interface Held {
  readonly description: OpenedHere['description'];
  readonly frames: readonly GrayFrame[];
  readonly suggested: ViewId | null;
}

type NotHeld = { readonly ok: false; readonly code: string };

/** Decodes a picked file where it lies: nothing is sent. */
export async function openForLook(file: Blob): Promise<Held | NotHeld> {
  const opened = await openInBrowser(file, { ...browserPlatform, filmDecoder });
  if (!opened.ok) return { ok: false, code: opened.problem.code };
  return framesHeld(opened.value);
}

/** Its greys are all that a second look needs: the file is closed, whether they could be read or not. */
export function framesHeld(opened: OpenedHere): Promise<Held | NotHeld> {
  return readFrames(opened).finally(() => opened.close());
}

async function readFrames(opened: OpenedHere): Promise<Held | NotHeld> {
  const { description } = opened;
  const count = Math.min(mostFrames, description.frameCount);
  const frames: GrayFrame[] = [];
  for (let n = 0; n < count; n += 1) {
    const frame = await opened.luma(n);
    if (!frame.ok) return { ok: false, code: frame.problem.code };
    frames.push(frame.value);
  }
  const suggested =
    frames.length > 1 ? (suggestView(frames, detectSectorGeometry(frames))?.view ?? null) : null;
  return { description, frames, suggested };
}

/** The same assessment as the server's, without outlines and curves. */
export function lookAt(held: Held, options: LookOptions, startedAtMs: number): Look {
  const { description } = held;
  const region = description.regions.find((r) => r.usable && r.kind === '2d' && r.unitY === 'cm');
  const full = assessClip(held.frames, {
    frameTimesMs: description.frameTimesMs,
    rWaveTimesMs: description.rWaveTimesMs,
    pxPerCm: region && region.deltaY > 0 ? 1 / region.deltaY : null,
    ...options,
  });
  return {
    ok: true,
    frameCount: description.frameCount,
    calibrated: description.regions.some((r) => r.usable && r.unitY === 'cm'),
    assessment: summaryOf(full),
    suggested: held.suggested,
    tookMs: performance.now() - startedAtMs,
  };
}

function summaryOf(full: Assessment): AssessmentSummary {
  const { engine, view, frameCount, quality, cycle, calibration, longAxis } = full;
  let shortAxis: AssessmentSummary['shortAxis'] = null;
  if (full.shortAxis) {
    const { outlines: _outlines, areasPx2: _areas, bloodAreaCurve: _curve, ...rest } = full.shortAxis;
    shortAxis = rest;
  }
  let aorticRoot: AssessmentSummary['aorticRoot'] = null;
  if (full.aorticRoot) {
    const { outline: _outline, ...rest } = full.aorticRoot;
    aorticRoot = rest;
  }
  return { engine, view, frameCount, quality, cycle, calibration, shortAxis, aorticRoot, longAxis };
}
