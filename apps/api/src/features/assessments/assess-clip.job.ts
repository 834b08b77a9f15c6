import { askChild } from '@chordae/codecs/node';
import type { ClipDescription } from '@chordae/contract';
import { outgoingKeepArea } from '@chordae/dicom';
import { imagingEngine } from '@chordae/imaging';
import { and, eq, isNull, sql } from 'drizzle-orm';
import type { ActorTx } from '../../platform/db/database';
import { processEntry } from '../../platform/decoder-entry';
import type { Services } from '../../platform/services';
import { uuidv7 } from '../../platform/uuid';
import { lockReferral, patientViewOf, referrals, touchReferral } from '../cases';
import { clips, decoderLimits, packs } from '../clips';
import { recordEvent } from '../events';
import type { AssessAnswer, AssessRequest } from './assess-process';
import { assessments } from './assessments.tables';

/** Pixels per cm that the file itself gives, if they can be measured on and are square. */
function pxPerCmOf(description: ClipDescription): number | null {
  const region = description.regions.find((r) => r.usable && r.kind === '2d' && r.unitY === 'cm');
  return region && region.deltaY > 0 ? 1 / region.deltaY : null;
}

async function requestFor(tx: ActorTx, practiceId: string, clipId: string) {
  const row = (
    await tx
      .select({ clip: clips, pack: packs, referral: referrals })
      .from(clips)
      .innerJoin(
        packs,
        and(
          eq(packs.practiceId, clips.practiceId),
          eq(packs.clipId, clips.id),
          eq(packs.kind, 'own'),
          isNull(packs.supersededAt),
        ),
      )
      .innerJoin(
        referrals,
        and(eq(referrals.practiceId, clips.practiceId), eq(referrals.id, clips.referralId)),
      )
      .where(and(eq(clips.practiceId, practiceId), eq(clips.id, clipId)))
  )[0];
  if (!row) return null;
  const patient = await patientViewOf(tx, practiceId, row.referral.patientId, '');
  return { ...row, patient };
}

/**
 * Stage 3: looks at the pictures of a clip. What comes out is a hint beside the clip; it changes no flag, urgency or
 * completeness. A clip that cannot be assessed stays as it is.
 */
export async function assessClipJob(services: Services, practiceId: string, clipId: string): Promise<void> {
  const found = await services.db.withJob(practiceId, 'assessor', (tx) => requestFor(tx, practiceId, clipId));
  if (!found) return;
  const { clip, pack, patient } = found;
  const answer = await services.storage.withLocalFile(pack.storageKey, async (packPath) => {
    const request: AssessRequest = {
      packPath,
      options: {
        frameTimesMs: clip.description.frameTimesMs,
        rWaveTimesMs: clip.description.rWaveTimesMs,
        pxPerCm: pxPerCmOf(clip.description),
        view: clip.view,
        species: patient.species,
        weightKg: patient.weight?.weightKg ?? null,
        fanWanted: outgoingKeepArea(clip.description) === null,
      },
    };
    const source = new URL('./assess-process.ts', import.meta.url);
    const said = await askChild(request, {
      ...processEntry('assess-process', source),
      limits: decoderLimits(services),
    });
    return 'result' in said ? (said.result as AssessAnswer) : said;
  });
  if ('code' in answer || !answer.ok) {
    services.log.warn({ clipId, answer }, 'the pictures of a clip could not be assessed');
    return;
  }
  const result = answer.value;
  await services.db.withJob(practiceId, 'assessor', async (tx, actor) => {
    // The referral before its clip, as everybody else holds them: the other way round, naming a view meanwhile and this waited for
    // each other, and one of the two was thrown out.
    await lockReferral(tx, { practiceId, referralId: clip.referralId });
    const now = (
      await tx
        .select({ groupId: clips.groupId, view: clips.view, referralId: clips.referralId })
        .from(clips)
        .where(and(eq(clips.practiceId, practiceId), eq(clips.id, clipId)))
        .for('no key update')
    )[0];
    // Named otherwise meanwhile: that naming has brought a job of its own.
    if (!now || now.view !== clip.view) return;
    const values = { engine: result.engine, view: clip.view, result, groupId: now.groupId };
    await tx
      .insert(assessments)
      .values({ practiceId, id: uuidv7(), clipId, ...values })
      .onConflictDoUpdate({
        target: [assessments.practiceId, assessments.clipId],
        set: { ...values, madeAt: sql`app_now()` },
      });
    await recordEvent(tx, actor, {
      practiceId,
      groupId: now.groupId,
      referralId: now.referralId,
      kind: 'clip.assessed',
      data: { clipId, engine: imagingEngine },
    });
    await touchReferral(tx, { practiceId, referralId: now.referralId });
  });
}
