import { code, decimals, floats, items, rawBytes, text } from '../attributes';
import type { DataSet } from '../data-set';
import type { Concept } from './code-map';

/** One item of a structured report's content tree (PS3.3 C.17.3), as far as measurements need it. */
export interface ContentItem {
  /** CONTAINS, HAS CONCEPT MOD, HAS ACQ CONTEXT, INFERRED FROM, SELECTED FROM … */
  readonly relationship: string;
  /** CONTAINER, NUM, CODE, TEXT, IMAGE, SCOORD … */
  readonly kind: string;
  readonly concept: Concept | null;
  /** NUM: as written, and its number and unit. */
  readonly number: { readonly written: string; readonly value: number; readonly unit: Concept | null } | null;
  /** CODE. */
  readonly coded: Concept | null;
  /** TEXT. */
  readonly words: string | null;
  /** IMAGE: the picture's UID and frame, from 1. */
  readonly image: { readonly uid: string; readonly frame: number | null } | null;
  /** SCOORD: x and y one after the other, pixels from the upper left corner. */
  readonly points: readonly number[];
  readonly children: readonly ContentItem[];
}

const deepest = 16;
const mostItems = 50_000;

/** Reads the tree below a report's root; the root itself is the data set. Items beyond 50,000 or 16 levels are left out. */
export function readContent(dataSet: DataSet): ContentItem {
  const budget = { left: mostItems };
  return readItem(dataSet, code(dataSet, 'x00080005') ?? '', 0, budget);
}

function readItem(item: DataSet, outer: string, depth: number, budget: { left: number }): ContentItem {
  const characterSet = code(item, 'x00080005') ?? outer;
  const children: ContentItem[] = [];
  if (depth < deepest)
    for (const child of items(item, 'x0040a730')) {
      if (budget.left <= 0) break;
      budget.left -= 1;
      children.push(readItem(child, characterSet, depth + 1, budget));
    }
  return {
    relationship: code(item, 'x0040a010') ?? '',
    kind: code(item, 'x0040a040') ?? '',
    concept: readConcept(items(item, 'x0040a043')[0], characterSet),
    number: readNumber(items(item, 'x0040a300')[0], characterSet),
    coded: readConcept(items(item, 'x0040a168')[0], characterSet),
    words: text(item, 'x0040a160', characterSet),
    image: readImage(items(item, 'x00081199')[0]),
    points: rawBytes(item, 'x00700022') === null ? [] : floats(item, 'x00700022').slice(0, 256),
    children,
  };
}

/** A code sequence's item (PS3.3 8.8); long codes and URNs stand elsewhere. null when it has no code. */
function readConcept(item: DataSet | undefined, characterSet: string): Concept | null {
  if (item === undefined) return null;
  const value = code(item, 'x00080100') ?? code(item, 'x00080119') ?? code(item, 'x00080120');
  if (value === null) return null;
  return {
    scheme: (code(item, 'x00080102') ?? '').slice(0, 16),
    code: value.slice(0, 64),
    meaning: (text(item, 'x00080104', characterSet) ?? '').slice(0, 120),
  };
}

function readNumber(item: DataSet | undefined, characterSet: string): ContentItem['number'] {
  if (item === undefined) return null;
  const written = code(item, 'x0040a30a');
  const value = decimals(item, 'x0040a30a')[0];
  if (written === null || value === undefined || !Number.isFinite(value)) return null;
  return {
    written: written.slice(0, 32),
    value,
    unit: readConcept(items(item, 'x004008ea')[0], characterSet),
  };
}

function readImage(item: DataSet | undefined): ContentItem['image'] {
  const uid = item === undefined ? null : code(item, 'x00081155');
  if (item === undefined || uid === null) return null;
  const frame = decimals(item, 'x00081160')[0];
  return {
    uid: uid.slice(0, 64),
    frame: frame !== undefined && Number.isInteger(frame) && frame > 0 ? frame : null,
  };
}
