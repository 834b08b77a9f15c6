import type { Problem } from '@chordae/contract';
import { exactExp } from '@chordae/units';
import { code, decimal, decimals, int16, items, rawBytes, uint16 } from './attributes';
import type { DataSet } from './data-set';
import { problem } from './source';

/** How stored grey values are shown: modality transformation (PS3.3 C.11.1), then the values of interest (C.11.2). */
export interface GreyLevels {
  /** 8-bit level by stored value, taken as an unsigned number of `bitsStored` bits. */
  readonly levels: Uint8Array;
  readonly problems: readonly Problem[];
}

export interface GreyFormat {
  readonly bitsStored: number;
  readonly signed: boolean;
  readonly inverted: boolean;
}

/** A window over all 8 bits is written in several ways (128 and 256, 127 and 254): as long as no value moves further, the stored ones are shown. */
const unseenLevels = 2;

/** The levels of a grey picture; null where 8-bit values are shown as they are. */
export function readGreyLevels(file: DataSet, format: GreyFormat): GreyLevels | null {
  const dataSet = withSharedGroups(file);
  const { bitsStored, signed, inverted } = format;
  const count = 2 ** bitsStored;
  const stored = (n: number): number => (signed && n >= count / 2 ? n - count : n);
  const modality = modalityOf(dataSet, signed);
  const values = Float64Array.from({ length: count }, (_, n) => modality(stored(n)));
  const shown =
    lookedUp(dataSet, values, signed) ?? windowed(dataSet, values) ?? whole(dataSet, values, format);
  if (bitsStored === 8 && !signed && !inverted && isAsStored(shown.levels)) return null;
  const levels = inverted ? shown.levels.map((level) => 255 - level) : shown.levels;
  return { levels, problems: shown.problems };
}

/** In the enhanced objects windows and rescaling stand in the groups that all frames share (PS3.3 C.7.6.16). */
function withSharedGroups(file: DataSet): DataSet {
  const shared = items(file, 'x52009229')[0];
  if (shared === undefined) return file;
  const groups = ['x00289132', 'x00289145'].flatMap((tag) => items(shared, tag).slice(0, 1));
  return {
    ...file,
    elements: new Map([...groups.flatMap((group) => [...group.elements]), ...file.elements]),
  };
}

function isAsStored(levels: Uint8Array): boolean {
  return levels.every((level, n) => Math.abs(level - n) <= unseenLevels);
}

/** Modality LUT Sequence (0028,3000), else Rescale Slope and Intercept (0028,1053), (0028,1052). */
function modalityOf(dataSet: DataSet, signed: boolean): (value: number) => number {
  const table = tableOf(items(dataSet, 'x00283000')[0], signed);
  if (table !== null) return table;
  const slope = decimal(dataSet, 'x00281053') ?? 1;
  const intercept = decimal(dataSet, 'x00281052') ?? 0;
  if (!Number.isFinite(slope) || !Number.isFinite(intercept) || slope === 0) return (value) => value;
  return (value) => slope * value + intercept;
}

/** A LUT of C.11.1 or C.11.2: values below the first take the first entry, above the last the last. null: none, or damaged. */
function tableOf(item: DataSet | undefined, signed: boolean): ((value: number) => number) | null {
  const bytes = item === undefined ? null : rawBytes(item, 'x00283006');
  const said = item === undefined ? null : uint16(item, 'x00283002', 0);
  if (item === undefined || bytes === null || said === null) return null;
  const count = said === 0 ? 65536 : said;
  // The first stored value is signed where the pixels are (US or SS); an implicit file does not say which.
  const vr = item.elements.get('x00283002')?.vr;
  const first =
    (vr === 'SS' || (vr !== 'US' && signed) ? int16(item, 'x00283002', 1) : uint16(item, 'x00283002', 1)) ??
    0;
  const wide = bytes.length >= 2 * count;
  if (!wide && bytes.length < count) return null;
  const [low, high] = item.littleEndian ? [0, 1] : [1, 0];
  const entry = (n: number): number =>
    wide ? (bytes[2 * n + low] ?? 0) | ((bytes[2 * n + high] ?? 0) << 8) : (bytes[n] ?? 0);
  return (value) => entry(Math.min(count - 1, Math.max(0, Math.floor(value) - first)));
}

type Shown = { readonly levels: Uint8Array; readonly problems: Problem[] };

/** VOI LUT Sequence (0028,3010): its entries span as many bits as it says. */
function lookedUp(dataSet: DataSet, values: Float64Array, signed: boolean): Shown | null {
  const item = items(dataSet, 'x00283010')[0];
  const table = tableOf(item, signed);
  const bits = item === undefined ? null : uint16(item, 'x00283002', 2);
  if (table === null || bits === null || bits < 8 || bits > 16) return null;
  const most = 2 ** bits - 1;
  const levels = Uint8Array.from(values, (value) => level((255 * table(value)) / most));
  return { levels, problems: [problem('GREY_THROUGH_TABLE')] };
}

/** Window Center and Width (0028,1050), (0028,1051), the first of several, by the VOI LUT Function (0028,1056). */
function windowed(dataSet: DataSet, values: Float64Array): Shown | null {
  const centre = decimals(dataSet, 'x00281050')[0] ?? Number.NaN;
  const width = decimals(dataSet, 'x00281051')[0] ?? Number.NaN;
  const shape = code(dataSet, 'x00281056') ?? 'LINEAR';
  if (!Number.isFinite(centre) || !Number.isFinite(width) || width < (shape === 'LINEAR' ? 1 : 1e-9))
    return null;
  const levels = Uint8Array.from(values, (value) => level(throughWindow(value, centre, width, shape)));
  return { levels, problems: [problem('GREY_WINDOWED', { centre, width })] };
}

/** C.11.2.1.2.1 (LINEAR), C.11.2.1.3.1 (SIGMOID) and C.11.2.1.3.2 (LINEAR_EXACT), to levels from 0 to 255. */
function throughWindow(value: number, centre: number, width: number, shape: string): number {
  if (shape === 'SIGMOID') return 255 / (1 + exactExp((-4 * (value - centre)) / width));
  if (shape === 'LINEAR_EXACT') return ((value - centre) / width + 0.5) * 255;
  if (value <= centre - 0.5 - (width - 1) / 2) return 0;
  if (value > centre - 0.5 + (width - 1) / 2) return 255;
  return ((value - (centre - 0.5)) / (width - 1) + 0.5) * 255;
}

/** Without a window: between the smallest and largest value that the file states, else over all that its bits can hold. */
function whole(dataSet: DataSet, values: Float64Array, { bitsStored, signed }: GreyFormat): Shown {
  const read = signed ? int16 : uint16;
  const [least, most] = [read(dataSet, 'x00280106'), read(dataSet, 'x00280107')];
  const count = values.length;
  const at = (stored: number): number => values[stored < 0 ? stored + count : stored] ?? Number.NaN;
  const stated = bitsStored > 8 && least !== null && most !== null && most > least;
  const [a, b] = stated
    ? [at(least), at(most)]
    : [at(signed ? -count / 2 : 0), at(count / (signed ? 2 : 1) - 1)];
  const [low, high] = [Math.min(a, b), Math.max(a, b)];
  const levels = Uint8Array.from(values, (value) => level((255 * (value - low)) / (high - low || 1)));
  return { levels, problems: bitsStored > 8 ? [problem('GREY_WITHOUT_WINDOW', { bits: bitsStored })] : [] };
}

function level(value: number): number {
  return value <= 0 ? 0 : value >= 255 ? 255 : Math.floor(value + 0.5);
}
