import { isVisitDone, type Visit } from '@chordae/contract';
import { planNames, SENDING_WAITS, sayReferralState } from '@chordae/words';
import { sayPatientShort } from '../say-patient';

export type VisitStage = 'planned' | 'open' | 'done';

/** Whether something is left to do about a visit. */
export function stageOf(visit: Pick<Visit, 'notScanned' | 'case'>): VisitStage {
  if (isVisitDone(visit)) return 'done';
  return visit.case === null ? 'planned' : 'open';
}

/** Who it is, as far as it is known: 'Nimbus, Maine Coon (cat), 4.2 kg'. */
export function sayWho(visit: Visit): string {
  const p = visit.planned;
  const weight = p.weight === '' ? 'weight not given' : p.weight;
  const kind = p.species
    ? sayPatientShort({ species: p.species, breedText: p.breedText, weightKg: null }).replace(
        /, weight not given$/,
        '',
      )
    : p.breedText === ''
      ? 'species not given'
      : `${p.breedText}, species not given`;
  const age = p.birth === '' ? '' : `, ${p.birth}`;
  return `${kind}${age}, ${weight}`;
}

const count = (n: number, one: string, many: string): string => `${n} ${n === 1 ? one : many}`;

/** Where it stands, in words: what is in, what is on its way, what comes next; `asked`: its sending has not reached the server. */
export function sayStage(visit: Visit, asked = false): string {
  if (visit.notScanned !== null) return `Not scanned: ${visit.notScanned}`;
  const c = visit.case;
  if (!c) return 'Not scanned yet.';
  const arriving = c.arriving > 0 ? `, ${count(c.arriving, 'file', 'files')} still to arrive` : '';
  const what = `${count(c.clipCount, 'clip', 'clips')}, ${count(c.measurementCount, 'number', 'numbers')}${arriving}`;
  if (asked) return `${SENDING_WAITS} Scan: ${what}.`;
  if (c.state === 'draft') return c.hasReportDraft ? `Report begun: ${what}.` : `Scan open: ${what}.`;
  if (c.state === 'reported' || c.state === 'filed')
    return `Report ${c.state === 'filed' ? 'signed, read and filed' : 'signed'}: ${what}.`;
  const to = c.groupName === '' ? '' : ` to ${c.groupName}`;
  return `Passed up${to}, ${sayReferralState(c.state).name}: ${what}.`;
}

/** The question of a visit in one line. */
export function sayQuestion(visit: Visit): string {
  const plan = visit.planned.plan ? planNames[visit.planned.plan] : '';
  const { question } = visit.planned;
  if (plan === '' || question === '') return plan + question;
  return `${plan}${plan.endsWith('?') ? '' : ':'} ${question}`;
}

/** '3 of 10 done, 2 files still to arrive.' */
export function sayDayCount(visits: readonly Visit[]): string {
  const done = visits.filter((v) => stageOf(v) === 'done').length;
  const arriving = visits.reduce((n, v) => n + (v.case?.arriving ?? 0), 0);
  const files = arriving > 0 ? `, ${count(arriving, 'file', 'files')} still to arrive` : '';
  return visits.length === 0 ? 'Nobody is on it yet.' : `${done} of ${visits.length} done${files}.`;
}
