import type { CaseFacts } from '../case-facts';
import { reading } from '../case-facts';
import { fixed } from '../format-number';
import type { Caution, Index, IndexDraft } from '../indices';
import { finishIndex } from '../indices';
import type { Reading } from '../readings';
import { relativeInterval, repeatability } from '../uncertainty';
import { meanText } from './ventricle';

/** A short-axis ratio measured elsewhere is no short-axis ratio: long-axis LA:Ao is normally about 1.8 to 2.4 (Strohm 2018). */
function shortAxisOnly(la: Reading, ao: Reading): boolean {
  return [la, ao].every((r) => r.view === null || r.view === 'rps-short-aortic');
}

function leftAtriumToAorta(facts: CaseFacts): IndexDraft | null {
  const la = reading(facts, 'la-sax');
  const ao = reading(facts, 'ao-sax');
  if (!la || !ao || ao.value <= 0) return null;
  const value = la.value / ao.value;
  const cv = repeatability(facts.species, 'la-ao')?.cvPercent ?? null;
  const onView = shortAxisOnly(la, ao);
  const cautions: Caution[] = [];
  if (!onView) cautions.push({ code: 'LA_AO_NOT_SHORT_AXIS', data: { view: la.view ?? ao.view ?? '' } });
  else if (la.view === null || ao.view === null)
    cautions.push({ code: 'VIEW_NOT_GIVEN', data: { index: 'la-ao' } });
  const beats =
    la.beats.length > 1 && la.beats.length === ao.beats.length
      ? la.beats.map((b, i) => b / (ao.beats[i] as number))
      : [];
  return {
    code: 'la-ao',
    kind: 'atrium',
    value,
    unit: 'ratio',
    readings: [la, ao],
    beats,
    arithmetic: `LA:Ao = ${fixed(la.value, 1)} mm / ${fixed(ao.value, 1)} mm = ${fixed(value, 2)}`,
    interval: cv === null ? null : relativeInterval(value, cv),
    usesWeight: false,
    cautions,
    gradable: onView,
  };
}

function longAxisAtrium(facts: CaseFacts): IndexDraft | null {
  const la = reading(facts, 'la-long');
  if (!la) return null;
  const cv = repeatability(facts.species, 'la-long')?.cvPercent ?? null;
  return {
    code: 'la-long',
    kind: 'atrium',
    value: la.value,
    unit: 'mm',
    readings: [la],
    beats: la.beats,
    arithmetic: `LA (long axis) = ${meanText(la)} mm`,
    interval: cv === null ? null : relativeInterval(la.value, cv),
    usesWeight: false,
    cautions: [],
  };
}

/** Indices of the left atrium: LA:Ao in the short axis, the diameter in the long axis. */
export function atriumIndices(facts: CaseFacts): Index[] {
  return [leftAtriumToAorta(facts), longAxisAtrium(facts)]
    .filter((d): d is IndexDraft => d !== null)
    .map((d) => finishIndex(facts, d));
}
