import type { MachineSays } from '@chordae/contract';
import { code, decimal, items, text } from './attributes';
import type { DataSet } from './data-set';
import { personName } from './text';

/** DA, also in the old style with dots; null unless it is a date of the calendar. `isoDate('20260213')` is '2026-02-13'. */
export function isoDate(value: string | null): string | null {
  const parts = /^(\d{4})[.-]?(\d{2})[.-]?(\d{2})/.exec(value ?? '');
  if (parts === null) return null;
  const [, year = '', month = '', day = ''] = parts;
  const days = [
    31,
    Number(year) % 4 === 0 && (Number(year) % 100 !== 0 || Number(year) % 400 === 0) ? 29 : 28,
    31,
    30,
    31,
    30,
    31,
    31,
    30,
    31,
    30,
    31,
  ];
  const longest = days[Number(month) - 1];
  if (longest === undefined || Number(day) < 1 || Number(day) > longest || Number(year) < 1900) return null;
  return `${year}-${month}-${day}`;
}

/** TM, also with colons; to the second, without a zone because the file has none. */
export function clockTime(value: string | null): string | null {
  const parts = /^([01]\d|2[0-3]):?([0-5]\d):?([0-5]\d)?/.exec(value ?? '');
  return parts === null ? null : `${parts[1]}:${parts[2]}:${parts[3] ?? '00'}`;
}

/** What the machine wrote about patient and moment, veterinary attributes by PS3.3 C.7.1.1 and C.7.2.2. Zero weight and rate count as not written. */
export function readMachineSays(dataSet: DataSet): MachineSays {
  const characterSet = code(dataSet, 'x00080005') ?? '';
  const words = (tag: string): string | null => text(dataSet, tag, characterSet);
  const coded = (tag: string): string | null => {
    const item = items(dataSet, tag)[0];
    return item === undefined ? null : text(item, 'x00080104', code(item, 'x00080005') ?? characterSet);
  };
  const name = words('x00100010');
  const weight = decimal(dataSet, 'x00101030');
  const rate = decimal(dataSet, 'x00181088');
  const sex = [code(dataSet, 'x00100040'), code(dataSet, 'x00102203')]
    .filter((part) => part !== null && /^[A-Z]{1,16}$/.test(part))
    .join(' ');
  return {
    patientName: name === null ? null : personName(name) || null,
    patientNumber: words('x00100020'),
    speciesText: words('x00102201') ?? coded('x00102202'),
    breedText: words('x00102292') ?? coded('x00102293'),
    sexText: sex === '' ? null : sex,
    birthDate: isoDate(code(dataSet, 'x00100030')),
    weightKg: weight !== null && Number.isFinite(weight) && weight > 0 ? weight : null,
    scannedOn: isoDate(
      code(dataSet, 'x00080022') ?? code(dataSet, 'x00080023') ?? code(dataSet, 'x00080020'),
    ),
    localTime: clockTime(
      code(dataSet, 'x00080032') ?? code(dataSet, 'x00080033') ?? code(dataSet, 'x00080030'),
    ),
    heartRate: rate !== null && Number.isFinite(rate) && rate > 0 ? rate : null,
    manufacturer: words('x00080070'),
    model: words('x00081090'),
    instanceUid: code(dataSet, 'x00080018')?.slice(0, 64) ?? null,
    probe: firstOf(words('x00185010')) ?? code(dataSet, 'x00186031'),
  };
}

/** Nothing known: for a JPEG or PNG still. */
export const machineSaysNothing: MachineSays = {
  patientName: null,
  patientNumber: null,
  speciesText: null,
  breedText: null,
  sexText: null,
  birthDate: null,
  weightKg: null,
  scannedOn: null,
  localTime: null,
  heartRate: null,
  manufacturer: null,
  model: null,
  probe: null,
};

/** The first filled value of several; transducer data come as 'name\\\\'. */
function firstOf(values: string | null): string | null {
  return values?.split('\\').find((value) => value.trim() !== '' && value !== 'UNUSED') ?? null;
}
