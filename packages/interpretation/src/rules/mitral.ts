import type { Flag, Interpretation, SourceRef } from '@chordae/contract';
import type { CaseFacts } from '../case-facts';
import { answered, answerIds, reading } from '../case-facts';
import { above, atLeast } from '../compare';
import type { Index } from '../indices';
import { reachesOver } from '../indices';
import type { ScoreBand } from '../limits/limit-types';
import { mitralScore } from '../limits/limits-data';
import { makeFlag } from '../make-flag';

type Stage = Interpretation['stages'][number];

const ACVIM: SourceRef = {
  citation:
    'Keene BW, Atkins CE, Bonagura JD, et al. ACVIM consensus guidelines for the diagnosis and treatment of myxomatous mitral valve disease in dogs. J Vet Intern Med 2019;33:1127-1140',
  doi: '10.1111/jvim.15488',
  status: 'secondary',
};

const B2 = { laAo: 1.6, lviddn: 1.7, murmur: 3, vhs: 10.5 } as const;

/** Mitral disease is asked for, or a murmur was heard: only then are its criteria spoken of. */
export function mitralIsAsked(facts: CaseFacts): boolean {
  const murmur = answered(facts, 'murmur-grade', '1', '2', '3', '4', '5', '6') !== null;
  return facts.species === 'dog' && (facts.input.plan === 'small-dog-murmur' || murmur);
}

interface Criteria {
  la: Index;
  lv: Index;
  met: string[];
  unmet: string[];
  missing: string[];
}

function murmurGrade(facts: CaseFacts): number | null {
  const answer = answered(facts, 'murmur-grade', '0', '1', '2', '3', '4', '5', '6');
  return answer ? Number(answer.value) : null;
}

function criteriaOf(facts: CaseFacts, found: ReadonlyMap<string, Index>): Criteria | null {
  const la = found.get('la-ao');
  const lv = found.get('lviddn');
  if (!la || !lv || la.position === 'not-graded' || lv.position === 'not-graded') return null;
  const lists: Criteria = { la, lv, met: [], unmet: [], missing: [] };
  const put = (name: string, state: boolean | null): void => {
    (state === null ? lists.missing : state ? lists.met : lists.unmet).push(name);
  };
  put('la-ao', atLeast(la.value, B2.laAo));
  put('lviddn', atLeast(lv.value, B2.lviddn));
  const grade = murmurGrade(facts);
  put('murmur', grade === null ? null : grade >= B2.murmur);
  const failure = answered(facts, 'ever-in-failure', 'yes')
    ? false
    : answered(facts, 'ever-in-failure', 'no')
      ? true
      : null;
  put('never-in-failure', failure);
  const vhs = reading(facts, 'vhs');
  put('vhs', vhs === null ? null : above(vhs.value, B2.vhs));
  return lists;
}

/**
 * Stages of mitral disease in dogs. 'Fits B2' only with a murmur grade of 3 or more and 'never in failure' given;
 * otherwise the echo criteria are met, no more.
 */
export function mitralStages(facts: CaseFacts, found: ReadonlyMap<string, Index>): Stage[] {
  if (!mitralIsAsked(facts)) return [];
  const criteria = criteriaOf(facts, found);
  const stages: Stage[] = [];
  if (answered(facts, 'ever-in-failure', 'yes')) {
    stages.push({
      scheme: 'acvim-mmvd-2019',
      code: 'suggests-c-or-d-by-history',
      met: ['failure-before'],
      unmet: [],
      missing: [],
      source: ACVIM,
    });
  }
  if (!criteria) return stages;
  const { met, unmet, missing } = criteria;
  const echo = met.includes('la-ao') && met.includes('lviddn');
  const parts = { scheme: 'acvim-mmvd-2019', met, unmet, missing, source: ACVIM };
  stages.push({ ...parts, code: echo ? 'echo-criteria-b2-met' : 'echo-criteria-b2-not-met' });
  if (echo && met.includes('murmur') && met.includes('never-in-failure') && !unmet.includes('vhs')) {
    stages.push({ ...parts, code: 'fits-b2' });
  }
  return stages;
}

/** The sentence that goes with the criteria. */
export function mitralFlags(facts: CaseFacts, found: ReadonlyMap<string, Index>): Flag[] {
  if (!mitralIsAsked(facts)) return [];
  const criteria = criteriaOf(facts, found);
  if (!criteria) return [];
  const { la, lv, met, unmet, missing } = criteria;
  if (!met.includes('la-ao') || !met.includes('lviddn')) return [];
  const near = [[la, B2.laAo] as const, [lv, B2.lviddn] as const].some(
    ([index, bound]) => index.interval !== null && reachesOver(index.interval, bound),
  );
  return [
    makeFlag({
      rule: 'mitral.b2-echo',
      code: 'MITRAL_B2_ECHO_CRITERIA_MET',
      level: 'look',
      data: {
        laAo: la.value,
        laAoFrom: B2.laAo,
        lviddn: lv.value,
        lviddnFrom: B2.lviddn,
        murmurGrade: murmurGrade(facts),
        met,
        unmet,
        missing,
        withinError: near,
      },
      observationIds: answerIds(facts, 'murmur-grade', 'ever-in-failure'),
      measurementIds: reading(facts, 'vhs')?.ids ?? [],
      indices: [la, lv],
      sources: [ACVIM],
    }),
  ];
}

/** Points of one component. A value in a gap between printed bands gets the higher points. `scorePoints(1.9, band of LA:Ao)` is 2, of 1.91 it is 3. */
export function scorePoints(value: number, band: ScoreBand): number {
  if (band.above4 !== undefined && above(value, band.above4)) return 4;
  if (above(value, band.above3)) return 3;
  return atLeast(value, band.from2) ? 2 : 1;
}

/** Severity of a total of the published score: 4 to 5 mild, 6 to 7 moderate, 8 to 12 severe, 13 to 14 late stage. */
export function scoreSeverity(total: number): string | null {
  let code: string | null = null;
  for (const row of mitralScore.totals) if (total >= row.from) code = row.code;
  return total <= 14 ? code : null;
}

/** The published severity score by LA:Ao, LVIDDN, FS and E: dogs up to 20 kg, all four given (Vezzosi 2021). */
export function mitralScoreStage(facts: CaseFacts, found: ReadonlyMap<string, Index>): Stage[] {
  const e = reading(facts, 'mitral-e');
  const parts = ['la-ao', 'lviddn', 'fs'] as const;
  const graded = parts.every((p) => found.has(p) && found.get(p)?.position !== 'not-graded');
  if (!mitralIsAsked(facts) || !graded || !e || facts.kg === null || facts.kg > mitralScore.maxKg) return [];
  const points = [
    ...parts.map((p) => [p, scorePoints((found.get(p) as Index).value, mitralScore.points[p])] as const),
    ['mitral-e', scorePoints(e.value, mitralScore.points['mitral-e'])] as const,
  ];
  const total = points.reduce((sum, [, p]) => sum + p, 0);
  const severity = scoreSeverity(total);
  if (severity === null) return [];
  const { citation, doi, status } = mitralScore;
  return [
    {
      scheme: 'mitral-score-2021',
      code: `score-${severity}`,
      met: [...points.map(([p, n]) => `${p}:${n}`), `total:${total}`],
      unmet: [],
      missing: [],
      source: { citation, doi, status },
    },
  ];
}
