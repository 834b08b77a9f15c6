import type { MeasurementCode } from '@chordae/contract';
import { parseQuantity, quantityCodes } from '@chordae/interpretation';
import type { PastedBlock, PastedRefusal } from '@chordae/words';
import { measurementNames } from '@chordae/words';
import { fieldUnit } from './field-unit';

/** Where a block is pasted, and which cells follow. */
export interface PastePlace {
  /** Codes of the table from top to bottom. */
  readonly order: readonly MeasurementCode[];
  readonly code: MeasurementCode;
  readonly beat: number;
}

/** Trade abbreviations beside the names on the sheet (common practice). */
const otherNames: Partial<Record<MeasurementCode, readonly string[]>> = {
  lvwd: ['LVPWd', 'LVFWd'],
  lvws: ['LVPWs', 'LVFWs'],
  'lv-edv': ['LVEDV'],
  'lv-esv': ['LVESV'],
  'heart-rate': ['HR'],
  'tr-vmax': ['TR'],
  'systolic-pressure': ['SBP'],
};

const MOST_BEATS = 10;

interface Name {
  readonly code: MeasurementCode;
  readonly length: number;
  readonly pattern: RegExp;
}

/** Every name a line may begin with, the longest first: 'B-lines left 1' before 'B'. */
const names: readonly Name[] = quantityCodes
  .flatMap((code) => {
    const { short, full } = measurementNames[code];
    return [...new Set([short, full, code, ...(otherNames[code] ?? [])])].map((name) => ({
      code,
      length: name.length,
      pattern: new RegExp(`^${spelled(name)}(?=$|[\\s:=;,([])`, 'iu'),
    }));
  })
  .sort((a, b) => b.length - a.length);

function spelled(name: string): string {
  return name
    .replace(/[.*+?^${}()|[\]\\]/gu, '\\$&')
    .replace(/\s+/gu, '\\s+')
    .replace(/[′'’]/gu, "[′'’]");
}

const startsAsNumber = (text: string): boolean => /^[<>~]?\s*[+\-−]?[.,]?\d/u.test(text);
const isGap = (text: string): boolean => /^([-–—./]*|n\/?a)$/iu.test(text);
const isBareNumber = (text: string): boolean => /^[+\-−]?[\d.,]+$/u.test(text);

interface Named {
  readonly code: MeasurementCode;
  readonly value: string;
}

/** 'LVIDd: 3,82 cm', 'LVIDd (cm) 3,82' and 'LVIDd⇥38.2⇥mm' as code and value; null where no known name begins the line. */
function namedLine(line: string): Named | null {
  for (const { code, pattern } of names) {
    const found = pattern.exec(line);
    if (!found) continue;
    const rest = line.slice(found[0].length).replace(/^[\s:=;,]+/u, '');
    const unitFirst = /^[([]([^)\]\d]+)[)\]][\s:=;,]*(.*)$/u.exec(rest);
    if (!unitFirst) return { code, value: tidy(rest) };
    const [, unit = '', value = ''] = unitFirst;
    return { code, value: isBareNumber(value.trim()) ? `${value.trim()} ${unit.trim()}` : tidy(value) };
  }
  return null;
}

/** One value and its unit from neighbouring columns; other columns stay apart, so that two numbers are never read as one. */
function tidy(text: string): string {
  return text.replace(/\s*\t\s*(?=[a-zµ%/²:]+\s*$)/iu, ' ').trim();
}

/**
 * Reads pasted text into the cells it belongs to; null where it is one plain value, which the field takes itself. Lines with a known
 * name go by it, and then nothing goes by place; without names the values fill the cells from the pasted one down, and an empty line
 * passes its cell by. Where the places would be a guess, nothing is filled. `readBlock('38.2\n24', …)` at LVIDd fills LVIDd, LVIDs.
 */
export function readBlock(text: string, place: PastePlace): PastedBlock | null {
  const lines = text
    .replace(/\r\n?/gu, '\n')
    .replace(/\n+$/u, '')
    .split('\n')
    .map((line) => line.replace(/\u00a0/gu, ' ').replace(/^ +| +$/gu, ''));
  const named = lines.map((line) => namedLine(line.trim()));
  if (named.some((line) => line !== null)) return byName(lines, named);
  const cells = lines.length === 1 ? tidy(lines[0] ?? '').split('\t') : lines;
  if (cells.length < 2) return null;
  return byPlace(
    cells.map((cell) => tidy(cell)),
    place,
  );
}

function byName(lines: readonly string[], named: readonly (Named | null)[]): PastedBlock {
  const taken: PastedBlock['taken'][number][] = [];
  const refused: PastedRefusal[] = [];
  named.forEach((line, n) => {
    const shown = (lines[n] ?? '').replace(/\s+/gu, ' ').trim();
    if (shown === '') return;
    if (!line) return void refused.push({ text: shown, why: 'no-name' });
    if (isGap(line.value)) return void refused.push({ text: shown, why: 'no-value' });
    const beat = 1 + taken.filter((t) => t.code === line.code).length;
    if (beat > MOST_BEATS) return void refused.push({ text: shown, why: 'no-cell' });
    if (readable(line.value, line.code)) taken.push({ code: line.code, beat, text: line.value });
    else refused.push({ text: shown, why: 'not-read' });
  });
  return { taken, refused };
}

function byPlace(cells: readonly string[], { order, code, beat }: PastePlace): PastedBlock {
  const doubtful = cells.find((cell) => cell.includes('\t') || !(isGap(cell) || startsAsNumber(cell)));
  if (doubtful !== undefined) {
    const why = doubtful.includes('\t') ? 'several-columns' : 'places-unsure';
    return { taken: [], refused: [{ text: doubtful.replace(/\s+/gu, ' ').trim(), why }] };
  }
  const taken: PastedBlock['taken'][number][] = [];
  const refused: PastedRefusal[] = [];
  const first = order.indexOf(code);
  cells.forEach((cell, n) => {
    if (isGap(cell)) return;
    const here = first < 0 ? undefined : order[first + n];
    if (here === undefined) refused.push({ text: cell, why: 'no-cell' });
    else if (readable(cell, here)) taken.push({ code: here, beat, text: cell });
    else refused.push({ text: cell, why: 'not-read', code: here });
  });
  return { taken, refused };
}

function readable(value: string, code: MeasurementCode): boolean {
  return parseQuantity(value, code, fieldUnit(code)).ok;
}
