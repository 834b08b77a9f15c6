import type { AppliedLimit, IndexResult } from '@chordae/contract';
import { sayCaution } from './cautions';
import { indexNames } from './names';
import type { NumberStyle } from './numbers';
import { capital, formatNumber, formatWithUnit } from './numbers';
import { saySource } from './say-flag';

export interface SaidIndex {
  /** 'LVIDDN' */
  short: string;
  /** 'left ventricle in diastole, weight-normalised' */
  full: string;
  /** '1.84' or '38.2 mm' */
  value: string;
  /** One line: value, limit, where it lies, how sure. */
  sentence: string;
  /** '1.53 to 2.16' or null. */
  interval: string | null;
  arithmetic: string;
  cautions: string[];
  /** One line per limit: bounds, population, source. */
  limits: string[];
}

function boundsText(limit: AppliedLimit, unit: string): string {
  const { lower, upper, ticks } = limit;
  if (lower !== null && upper !== null)
    return `${formatWithUnit(lower, unit)} to ${formatWithUnit(upper, unit)}`;
  if (upper !== null) return `limit ${formatWithUnit(upper, unit)}`;
  if (lower !== null) return `from ${formatWithUnit(lower, unit)}`;
  const mean = ticks.find((t) => t.code === 'mean');
  return mean ? `mean ${formatWithUnit(mean.at, unit)}` : 'grades only';
}

/** One limit in words: 'within 1.27 to 1.85 of …'. */
export function sayLimit(limit: AppliedLimit, unit: string): string {
  const role = limit.comparisonOnly ? ' For comparison only.' : '';
  return `${capital(boundsText(limit, unit))}: ${limit.population}. ${saySource(limit.source)}.${role}`;
}

const GRADE: Record<string, string> = {
  'up-to-normal': 'up to normal',
  between: 'between normal and enlarged',
  enlarged: 'enlarged',
  none: 'none',
  mild: 'mild',
  moderate: 'moderate',
  severe: 'severe',
  'very-severe': 'very severe',
  normal: 'normal side',
  grey: 'grey zone',
  thick: 'thick',
  'below-zone': 'below the zone',
  equivocal: 'in the zone that a cardiologist settles',
  'above-zone': 'above the zone',
  usual: 'usual',
  diagnostic: 'diagnostic',
  normotensive: 'not raised',
  prehypertensive: 'borderline',
  hypertensive: 'raised',
  'severely-hypertensive': 'severely raised',
  'not-above': 'not above',
  'above-46': 'above the sensitive cut-off',
  'above-99': 'above the specific cut-off',
  small: 'small',
  large: 'large',
};

/** A grade in words: 'between normal and enlarged'. */
export function gradeText(code: string): string {
  return GRADE[code] ?? code;
}

/** 'Cornell 2004' from a citation that begins with an author, else the title up to its first stop. */
function shortSource(citation: string): string {
  const author = /^([^\s,]+) [A-Z]{1,3}\b/.exec(citation)?.[1];
  const year = /\b(?:19|20)\d\d\b/.exec(citation)?.[0];
  if (author) return year ? `${author} ${year}` : author;
  return citation.split(/[,;.(]/)[0]?.trim() ?? citation;
}

/** Where an index lies, by which source, and in how much doubt: 'above the limits of Cornell 2004 (1.27 to 1.85), …'. */
export function sayPosition(index: IndexResult): string {
  const grading = index.limits.find((l) => !l.comparisonOnly && (l.lower !== null || l.upper !== null));
  const grade = index.grades[0];
  const graded = grade ? `${gradeText(grade.code)} on '${grade.scale}'` : null;
  if (index.position === 'not-graded' || !grading) return graded ?? 'not graded';
  const bounds = boundsText(grading, index.unit);
  const place =
    index.position === 'within'
      ? `within the limits of ${shortSource(grading.source.citation)} (${bounds})`
      : `${index.position} the limits of ${shortSource(grading.source.citation)} (${bounds})`;
  const doubt = index.closeness === 'within-error' ? ', within measuring error of the limit' : '';
  return `${place}${doubt}${graded ? `; ${graded}` : ''}`;
}

/** An index in words: 'Normal' is never written, only 'within the limits of <source>'. */
export function sayIndex(index: IndexResult, style: NumberStyle = {}): SaidIndex {
  const names = indexNames[index.code] ?? { short: index.code, full: index.code };
  const nearest =
    index.limits.flatMap((l) => [l.lower, l.upper]).find((b) => b !== null && b !== undefined) ?? null;
  const value = formatWithUnit(index.value, index.unit, nearest, style);
  const decimals = index.unit === '%' || index.unit === 'mm' || index.unit === 'mmHg' ? 1 : 2;
  return {
    short: names.short,
    full: names.full,
    value,
    sentence: `${names.short} (${names.full}) ${value}: ${sayPosition(index)}.`,
    interval: index.interval
      ? `${formatNumber(index.interval[0], decimals, style)} to ${formatNumber(index.interval[1], decimals, style)}`
      : null,
    arithmetic: index.arithmetic,
    cautions: index.cautions.map(sayCaution),
    limits: index.limits.map((l) => sayLimit(l, index.unit)),
  };
}
