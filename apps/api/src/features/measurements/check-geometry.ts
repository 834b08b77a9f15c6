import {
  type Geometry,
  type MeasurementEntry,
  measurementCodes,
  type Region,
  standingScale,
} from '@chordae/contract';
import {
  keptValue,
  type MeasuringFinding,
  measureDrawn,
  planeOf,
  regionsWith,
  sameButRounding,
  scaleOf,
} from '@chordae/measurement';
import { measuringFindings } from '@chordae/words';
import { AppError } from '../../platform/app-error';
import type { ActorTx } from '../../platform/db/database';
import type { CaseRef } from '../../platform/http/route-server';
import { findClip, statementsOf } from '../clips';

const WORDS: Record<MeasuringFinding, string> = measuringFindings;

function refuse(message: string): AppError {
  return new AppError('FIELD_INVALID', {}, { field: 'geometry', message: `geometry: ${message}` });
}

/** What may be measured on a clip: its file's regions, or a person's calibration that stands for it. */
async function regionsFor(
  tx: ActorTx,
  onCase: CaseRef,
  clipId: string,
  frame: number,
): Promise<readonly Region[]> {
  const clip = await findClip(tx, onCase.practiceId, clipId);
  if (clip.referralId !== onCase.referralId) throw refuse('this clip is not part of the referral.');
  if (frame >= clip.description.frameCount)
    throw refuse(`the clip has only ${clip.description.frameCount} frames.`);
  const said = await statementsOf(tx, onCase.practiceId, onCase.referralId);
  return regionsWith(clip.description, standingScale(said, clipId).scale);
}

/** The scale that came with the drawing must be the clip's own, to a thousandth: it is printed and redrawn by. */
function checkScale(regions: readonly Region[], drawn: Pick<Geometry, 'points' | 'scale'>): void {
  const plane = planeOf(regions, drawn.points);
  if (!plane.ok) throw refuse(WORDS[plane.finding]);
  const own = scaleOf(plane.value);
  const near = (a: number, b: number) => Math.abs(a - b) <= 0.001 * Math.abs(b);
  const { scale } = drawn;
  if (
    scale.unitX !== own.unitX ||
    scale.unitY !== own.unitY ||
    !near(scale.x, own.x) ||
    !near(scale.y, own.y)
  )
    throw refuse('its scale is not the one of the clip.');
}

/** A value by caliper must be what its drawing gives on this clip, computed here once more; else FIELD_INVALID. */
export async function checkGeometry(tx: ActorTx, onCase: CaseRef, body: MeasurementEntry): Promise<void> {
  const { geometry } = body;
  if (body.source !== 'caliper' || body.withdrawn || !geometry) return;
  if (body.clipId !== geometry.clipId || body.frame !== geometry.frame)
    throw refuse('it lies on another frame than the measurement says.');
  const regions = await regionsFor(tx, onCase, geometry.clipId, geometry.frame);
  const { second } = geometry;
  const others = second ? await regionsFor(tx, onCase, second.clipId, second.frame) : regions;
  const values = measureDrawn(regions, geometry, others);
  if (!values.ok) throw refuse(WORDS[values.finding]);
  // A ratio of pixels has no scale; both of its lengths lie on one clip, or pixels of two sizes would be divided.
  if (geometry.shape === 'ratio') {
    if (second?.clipId !== geometry.clipId) throw refuse('both lengths of a ratio lie on one clip.');
  } else {
    checkScale(regions, geometry);
    if (second) checkScale(others, second);
  }
  const known = measurementCodes[body.code];
  const value = keptValue(values.value, geometry.shape, body.code, body.unit);
  if (value === null) throw refuse(`${known.name} in ${body.unit} cannot be read off this drawing.`);
  if (!sameButRounding(value, body.value, body.unit))
    throw refuse(
      `it gives ${Number(value.toPrecision(4))} ${body.unit}, not ${body.value} ${body.unit}: the drawing and the number disagree.`,
    );
}
