import type { CaseFacts } from '../case-facts';
import { fixed, trimmed } from '../format-number';
import { powerOf } from '../powers';
import { unitOf } from '../quantity-table';
import type { Reading } from '../readings';
import { teichholzMl } from '../shape';
import type { Recipe } from './recipe';

const DECIMALS: Partial<Record<string, number>> = {
  mm: 1,
  ml: 1,
  cm: 1,
  cm2: 2,
  'm/s': 2,
  'cm/s': 1,
  '%': 1,
  'mmol/l': 1,
  'nmol/l': 1,
};

const SPELLED: Partial<Record<string, string>> = {
  'ml/m2': 'ml/m²',
  'cm2/m2': 'cm²/m²',
  cm2: 'cm²',
  'umol/l': 'µmol/l',
};

/** Decimals in which a result is written in its line. */
function resultDecimals(unit: string): number {
  if (unit === 'mm' || unit === '%' || unit === 'mmHg' || unit.endsWith('/m2') || unit === 'cm') return 1;
  return unit === 'ms' || unit === 'count' || unit === '/min' || unit === 'pmol/l' ? 0 : 2;
}

const unitText = (unit: string): string =>
  unit === 'ratio' || unit === 'count' || unit.includes('kg^') ? '' : ` ${SPELLED[unit] ?? unit}`;

const shownUnits = new Map<string, string>();

/** A unit with the space before it, nothing for a bare number; each unit is put together once. */
function shownUnit(unit: string): string {
  let text = shownUnits.get(unit);
  if (text === undefined) {
    text = unitText(unit);
    shownUnits.set(unit, text);
  }
  return text;
}

function inputText(reading: Reading): string {
  const unit = unitOf(reading.code);
  return `${fixed(reading.value, DECIMALS[unit] ?? 0)}${shownUnit(unit)}`;
}

/** '38.2' for one beat, '(38.0 + 38.4) / 2 = 38.2' for several. */
export function meanText(size: Reading): string {
  const decimals = DECIMALS[unitOf(size.code)] ?? (unitOf(size.code) === 'ratio' ? 1 : 0);
  const mean = fixed(size.value, decimals);
  return size.beats.length < 2
    ? mean
    : `(${size.beats.map((b) => fixed(b, decimals)).join(' + ')}) / ${size.beats.length} = ${mean}`;
}

/** Lengths in a fractional shortening stand in cm, volumes and areas as they are. */
function lessText(a: Reading, b: Reading): string {
  const mm = unitOf(a.code) === 'mm';
  const text = (r: Reading): string =>
    mm ? fixed(r.value / 10, 2) : fixed(r.value, DECIMALS[unitOf(r.code)] ?? 1);
  const unit = mm ? ' cm' : shownUnit(unitOf(a.code));
  return `(${text(a)} − ${text(b)})${unit} / ${text(a)}${unit} × 100`;
}

const surfaceM2 = ({ kg, tables }: CaseFacts): number =>
  kg === null ? 0 : 0.101 * powerOf(tables.powers, kg, 2 / 3);

/** The line that a vet can redo on paper: 'LVIDDN = LVIDd 3.82 cm / (7.4 kg)^0.294 = 2.12'. */
export function arithmeticOf(
  recipe: Recipe,
  readings: readonly Reading[],
  value: number,
  facts: CaseFacts,
): string {
  const [a, b, c, d] = readings as [Reading, Reading, Reading, Reading];
  const { formula, name, inputs } = recipe;
  const unit = shownUnit(recipe.unit);
  const weight = facts.tables.weightText;
  if (formula.is === 'as-measured') return `${name} = ${meanText(a)}${unit}`;
  const na = inputs?.[0] === undefined ? '' : `${inputs[0]} `;
  const nb = inputs?.[1] === undefined ? '' : `${inputs[1]} `;
  const result = `${fixed(value, resultDecimals(recipe.unit))}${unit}`;
  switch (formula.is) {
    case 'ratio':
      return `${name} = ${formula.by === undefined ? '' : `${trimmed(formula.by, 2)} × `}${na}${inputText(a)} / ${nb}${inputText(b)} = ${result}`;
    case 'ratio-square':
      return `${name} = ${formula.by === 1 ? '' : `${trimmed(formula.by, 2)} × `}${inputText(a)} / (${inputText(b)})² = ${result}`;
    case 'less':
      return `${name} = ${lessText(a, b)} = ${result}`;
    case 'gradient':
      return `${name} = 4 × (${na}${inputText(a)})² = ${result}`;
    case 'gradient-less':
      return `${name} = 4 × ((${na}${inputText(a)})² − (${nb}${inputText(b)})²) = ${result}`;
    case 'flows':
      return `${name} = ((${inputText(a)})² × ${inputText(b)}) / ((${inputText(c)})² × ${inputText(d)}) = ${result}`;
    case 'teichholz': {
      const edv = fixed(teichholzMl(a.value / 10), 1);
      return `${name} = (${edv} − ${fixed(teichholzMl(b.value / 10), 1)}) ml / ${edv} ml × 100 = ${result}`;
    }
    case 'per-kg': {
      const input = formula.by === 0.1 ? `${fixed(a.value / 10, 2)} cm` : inputText(a);
      return `${name} = ${na}${input} / ${weight}^${formula.exponent} = ${result}`;
    }
    case 'per-surface':
      return `${name} = ${inputText(a)} / (0.101 × ${weight}^(2/3) = ${fixed(surfaceM2(facts), 3)} m²) = ${result}`;
    case 'to-500-kg':
      return `${name} = ${inputText(a)} × (500 kg / ${weight})^(${formula.exponent === 1 / 3 ? '1/3' : '2/3'}) = ${result}`;
  }
}
