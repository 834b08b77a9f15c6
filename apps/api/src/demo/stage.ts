import type { FastifyInstance } from 'fastify';
import scenario from '../../../../shared/demo/scenario.json';
import type { Services } from '../platform/services';

/** One phrase for all invented members: the demo is for looking, and says so; real members are never made this way. */
export const DEMO_PASSWORD = 'look around the demo';

export type Ids = Map<string, string>;

export interface Stage {
  readonly app: FastifyInstance;
  readonly services: Services;
  readonly worker: Services;
  readonly ids: Ids;
}

export interface OpinionScript {
  readonly by: string;
  readonly conclusion: string;
  readonly stage: string;
  readonly next: string;
  readonly technique: string;
  readonly findings: Readonly<Record<string, string>>;
}

export interface ReportScript {
  readonly sign: boolean;
  readonly conclusion: string;
  readonly next: string;
  readonly notToConclude: string;
  /** Months after the scan; null: no day was named. */
  readonly recheckMonths: number | null;
  readonly recheckFor: string;
  readonly findings: Readonly<Record<string, string>>;
  /** Caption of a frame of the first clip; null: none is printed. */
  readonly keyFrame: string | null;
}

/** One referral with its scan. */
export interface ReferralScript {
  readonly plan: string;
  readonly send: boolean;
  readonly urgencyAsked: string | null;
  readonly question: string;
  readonly history: string;
  readonly weight: { readonly kg: number; readonly asTyped: string; readonly guessed: boolean } | null;
  readonly state: object;
  readonly observations: Readonly<Record<string, string>>;
  readonly measurements: readonly (readonly [code: string, mm: number, view: string, beat: number])[];
  readonly clips: readonly { readonly view: string; readonly variant: string }[];
  readonly opinion?: OpinionScript;
  /** A report of who scanned; such a scan is sent to nobody. */
  readonly report?: ReportScript;
}

/** A patient, what is asked now, and where there was one the scan before. */
export interface PatientScript extends ReferralScript {
  readonly practice: string;
  readonly by: string;
  readonly patient: { readonly name: string; readonly species: string };
  readonly keeper: object;
  /** Scanned this many months ago, answered and closed. */
  readonly earlier?: ReferralScript & { readonly monthsAgo: number };
}

export function memberOf(key: string): { name: string; email: string } {
  const found = scenario.members.find((m) => m.key === key);
  if (!found) throw new Error(`demo: no member ${key}`);
  return found;
}

export function practiceNameOf(key: string): string {
  return scenario.practices.find((p) => p.key === key)?.name ?? '';
}
