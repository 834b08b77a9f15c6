import { EMPTY_PLANNED, type PlannedPatient } from '@chordae/contract';
import { uuidv7 } from '../platform/uuid';
import { demoSession } from './demo-session';
import { DEMO_PASSWORD, memberOf, type Stage } from './stage';

/** A visit of the day: of a patient whose scan stands in the scenario, or of one that is only on the list yet. */
interface VisitScript {
  readonly practice: string;
  /** Name of a patient with a scan of this person. */
  readonly scanned?: string;
  readonly planned: Partial<PlannedPatient>;
}

export interface RoundScript {
  readonly by: string;
  readonly title: string;
  readonly note: string;
  readonly visits: readonly VisitScript[];
  /** Scans that practices ask for, on no round yet. */
  readonly requests: readonly {
    readonly practice: string;
    readonly by: string;
    readonly planned: Partial<PlannedPatient>;
  }[];
}

/** Where the scans of the scenario were put: patient's name to case. */
export type Played = ReadonlyMap<string, { readonly patientId: string; readonly referralId: string }>;

/** Today's round of the visiting sonographer: what is done, what is begun, who is still to be seen. */
export async function playRound(stage: Stage, script: RoundScript, played: Played): Promise<void> {
  const day = stage.services.clock.now().toISOString().slice(0, 10);
  const own = await demoSession(stage.app, memberOf(script.by).email, DEMO_PASSWORD);
  const roundId = uuidv7();
  await own.put(`/api/me/rounds/${roundId}`, { day, title: script.title });
  const practiceOrder = [...new Set(script.visits.map((v) => stage.ids.get(v.practice) ?? ''))];
  await own.patch(`/api/me/rounds/${roundId}`, { base: 1, fields: { note: script.note, practiceOrder } });
  for (const [n, visit] of script.visits.entries()) {
    const there = played.get(visit.scanned ?? '') ?? { patientId: null, referralId: null };
    await own.put(`/api/practices/${stage.ids.get(visit.practice)}/visits/${uuidv7()}`, {
      roundId,
      planned: { ...EMPTY_PLANNED, ...visit.planned },
      position: n + 1,
      ...there,
      notScanned: null,
      requestId: null,
    });
  }
  for (const request of script.requests) {
    const vet = await demoSession(stage.app, memberOf(request.by).email, DEMO_PASSWORD);
    await vet.put(`/api/practices/${stage.ids.get(request.practice)}/scan-requests/${uuidv7()}`, {
      patientId: null,
      planned: { ...EMPTY_PLANNED, ...request.planned },
      wantedOn: null,
    });
  }
}
