import { mkdir, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { settleArrival } from '../features/arrivals';
import { uuidv7 } from '../platform/uuid';
import { jobTable } from '../worker';
import { demoClip } from './demo-clips';
import type { DemoSession } from './demo-session';
import { practiceNameOf, type Stage } from './stage';

export interface ClipPlay {
  readonly practice: string;
  readonly patient: { readonly name: string; readonly species: string };
  readonly weightKg: number | null;
  readonly clip: { view: string; variant: string };
  readonly practiceId: string;
  readonly referralId: string;
  readonly scanId: string;
  readonly day: string;
  readonly seed: number;
}

/** A clip comes the way every clip comes, save that its bytes are put into the upload folder instead of sent to it. */
export async function playClip(stage: Stage, sender: DemoSession, play: ClipPlay): Promise<void> {
  const { practiceId, referralId } = play;
  const bytes = await demoClip({
    view: play.clip.view as never,
    species: play.patient.species === 'cat' ? 'cat' : 'dog',
    heart: play.clip.variant as never,
    weightKg: play.weightKg ?? 38,
    patientName: play.patient.name,
    practiceName: practiceNameOf(play.practice),
    day: play.day,
    seed: play.seed,
  });
  const arrivalId = uuidv7();
  await sender.put(`/api/practices/${practiceId}/arrivals/${arrivalId}`, {
    referralId,
    scanId: play.scanId,
    fileName: `IM_${String(play.seed).padStart(4, '0')}.dcm`,
    sizeBytes: bytes.length,
    sha256: null,
  });
  const folder = path.join(stage.services.config.dataFolder, 'uploads');
  await mkdir(folder, { recursive: true });
  await writeFile(path.join(folder, arrivalId), bytes);
  await settleArrival(stage.services, practiceId, arrivalId);
  await jobTable(stage.worker)['original.read']({ practiceId, arrivalId });
  const { clips, arrivals } = (await sender.get(`/api/cases/${practiceId}/${referralId}`)) as {
    clips: { id: string }[];
    arrivals: { id: string; clipId: string | null }[];
  };
  const clipId = arrivals.find((a) => a.id === arrivalId)?.clipId ?? clips.at(-1)?.id;
  if (clipId) await sender.patch(`/api/practices/${practiceId}/clips/${clipId}`, { view: play.clip.view });
}
