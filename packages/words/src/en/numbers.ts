/** How numbers are written: the decimal mark of the reader's language, never more decimals than the measurement has. */

/** Options of a reader. English with a point is the default; a decimal comma may be asked for. */
export interface NumberStyle {
  decimalComma?: boolean;
}

/** `formatNumber(3.816, 2)` is '3.82'. A value that is no number becomes 'no number'. */
export function formatNumber(value: number, decimals: number, style: NumberStyle = {}): string {
  if (!Number.isFinite(value)) return 'no number';
  const text = value.toFixed(decimals);
  const shown = /^-0(\.0*)?$/.test(text) ? text.slice(1) : text;
  return style.decimalComma ? shown.replace('.', ',') : shown;
}

/**
 * Like `formatNumber`, but with as many decimals as it takes to stay on the right side of a bound: 1.6996 beside a bound
 * of 1.7 is written '1.6996', because '1.70' would read as reached.
 */
export function formatBeside(
  value: number,
  bound: number | null,
  decimals: number,
  style: NumberStyle = {},
): string {
  let places = decimals;
  if (bound !== null && Number.isFinite(value) && Math.abs(value - bound) > 1e-9) {
    while (places < 6 && Number(value.toFixed(places)) === Number(bound.toFixed(places))) places += 1;
  }
  return formatNumber(value, places, style);
}

/** Decimals that a unit deserves. */
function decimalsFor(unit: string): number {
  if (unit === 'ratio' || unit === 'm/s' || unit.startsWith('cm/kg')) return 2;
  if (['mm', 'ml', '%', 'cm', 'cm/s', 'cm2', 'mmol/l', 'nmol/l'].includes(unit)) return 1;
  if (unit.includes('kg^')) return 2;
  return 0;
}

const UNIT_TEXT: Record<string, string> = {
  ratio: '',
  count: '',
  'ml/m2': 'ml/m²',
  'cm2/m2': 'cm²/m²',
  cm2: 'cm²',
  'umol/l': 'µmol/l',
  '/min': '/min',
};

/** A unit as it is written: `unitText('umol/l')` is 'µmol/l'; a ratio and a count have none. */
export function unitText(unit: string): string {
  return UNIT_TEXT[unit] ?? unit;
}

/** `formatWithUnit(38.2, 'mm')` is '38.2 mm'; a ratio and a weight-normalised size stand without a unit. */
export function formatWithUnit(
  value: number,
  unit: string,
  bound: number | null = null,
  style: NumberStyle = {},
): string {
  const number = formatBeside(value, bound, decimalsFor(unit), style);
  if (unit.includes('kg^')) return number;
  const text = unitText(unit);
  if (text === '') return number;
  return text.startsWith('/') ? `${number}${text}` : `${number} ${text}`;
}

/** `formatMinutes(135)` is '2 h 15 min'. */
export function formatMinutes(minutes: number): string {
  if (!Number.isFinite(minutes)) return 'an unknown time';
  const whole = Math.max(0, Math.floor(minutes));
  if (whole < 60) return `${whole} min`;
  const hours = Math.floor(whole / 60);
  if (hours < 48) return whole % 60 === 0 ? `${hours} h` : `${hours} h ${whole % 60} min`;
  return `${Math.floor(hours / 24)} days`;
}

/** `formatBytes(10485760)` is '10.5 MB' (decimal megabytes). */
export function formatBytes(bytes: number): string {
  if (!Number.isFinite(bytes) || bytes < 0) return 'an unknown size';
  if (bytes < 1000) return Math.floor(bytes) === 1 ? '1 byte' : `${Math.floor(bytes)} bytes`;
  if (bytes < 1_000_000) return `${formatNumber(bytes / 1000, 0)} kB`;
  if (bytes < 1_000_000_000) return `${formatNumber(bytes / 1_000_000, 1)} MB`;
  return `${formatNumber(bytes / 1_000_000_000, 2)} GB`;
}

/** '…, about 3 min left'. Below ten seconds: 'a few seconds left'. */
export function formatTimeLeft(seconds: number): string {
  if (!Number.isFinite(seconds) || seconds < 0) return 'time left not known yet';
  if (seconds < 10) return 'a few seconds left';
  if (seconds < 90) return `about ${Math.round(seconds / 10) * 10} s left`;
  return `about ${formatMinutes(Math.round(seconds / 60))} left`;
}

/** 'a, b and c'. */
export function listOf(parts: readonly string[], last = 'and'): string {
  if (parts.length < 2) return parts[0] ?? '';
  return `${parts.slice(0, -1).join(', ')} ${last} ${parts.at(-1)}`;
}

/** First letter in upper case. */
export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
