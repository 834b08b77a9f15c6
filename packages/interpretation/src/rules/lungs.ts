import type { Flag, MeasurementCode, SourceRef } from '@chordae/contract';
import type { CaseFacts } from '../case-facts';
import { reading } from '../case-facts';
import { makeFlag } from '../make-flag';

/** A site counts from more than this many B-lines (Ward 2017, Ward 2018). */
const SITE_ABOVE = 3;

const LEFT: readonly MeasurementCode[] = ['b-lines-l1', 'b-lines-l2', 'b-lines-l3', 'b-lines-l4'];
const RIGHT: readonly MeasurementCode[] = ['b-lines-r1', 'b-lines-r2', 'b-lines-r3', 'b-lines-r4'];

export interface LungSites {
  /** Sites with more than three lines. */
  left: number;
  right: number;
  /** Sites that were counted at all, of eight. */
  counted: number;
  ids: string[];
}

const BOTH_SIDES: SourceRef = {
  citation:
    'Ward JL, Lisciandro GR, Keene BW, Tou SP, DeFrancesco TC. Accuracy of point-of-care lung ultrasonography for the diagnosis of cardiogenic pulmonary edema in dogs and cats with acute dyspnea. J Am Vet Med Assoc 2017;250:666-675',
  doi: null,
  status: 'primary',
};

const MORE_THAN_ONE: SourceRef = {
  citation: 'Ward JL, Lisciandro GR, Ware WA, et al. J Vet Intern Med 2018;32:1530-1540',
  doi: '10.1111/jvim.15246',
  status: 'primary',
};

/** Counted lung sites of a case; null where none was counted by a person. */
export function lungSites(facts: CaseFacts): LungSites | null {
  const count = (codes: readonly MeasurementCode[]) =>
    codes.map((c) => reading(facts, c)).filter((r) => r !== null && !r.computedOnly);
  const left = count(LEFT);
  const right = count(RIGHT);
  if (left.length + right.length === 0) return null;
  const positive = (list: typeof left): number =>
    list.filter((r) => r !== null && r.value > SITE_ABOVE).length;
  return {
    left: positive(left),
    right: positive(right),
    counted: left.length + right.length,
    ids: [...left, ...right].flatMap((r) => r?.ids ?? []),
  };
}

/** Two or more positive sites on each side: the rule of 2017 for lung water from the heart (dogs and cats in distress). */
export function wetOnBothSides(sites: LungSites | null): boolean {
  return sites !== null && sites.left >= 2 && sites.right >= 2;
}

/** More than one positive site in all: the rule of 2018 for cats (sensitivity 79 %, specificity 83 %). */
export function moreThanOneSite(sites: LungSites | null): boolean {
  return sites !== null && sites.left + sites.right > 1;
}

/** What counted lung sites say. A rule that is not met excludes nothing, least of all with sites left out. */
export function lungFlags(facts: CaseFacts): Flag[] {
  const sites = lungSites(facts);
  if (sites === null || (facts.species !== 'dog' && facts.species !== 'cat')) return [];
  const both = wetOnBothSides(sites);
  const cat = facts.species === 'cat' && moreThanOneSite(sites);
  if (!both && !cat) return [];
  return [
    makeFlag({
      rule: 'lungs.sites',
      code: both ? 'LUNG_SITES_BOTH_SIDES' : 'LUNG_SITES_MORE_THAN_ONE',
      level: 'look',
      data: { left: sites.left, right: sites.right, counted: sites.counted },
      measurementIds: sites.ids,
      sources: both ? [BOTH_SIDES] : [MORE_THAN_ONE],
    }),
  ];
}
