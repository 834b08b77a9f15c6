import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { MachineMeasurement } from '@chordae/contract';
import { describe, expect, it } from 'vitest';
import { memorySource } from '../source';
import type { WrittenElement } from '../writer';
import { writePart10 } from '../writer';
import { codeMap } from './code-map-data';
import { readReport } from './read-report';

type Code = readonly [string, string, string];

function coded(tag: string, [value, scheme, meaning]: Code): WrittenElement {
  return {
    tag,
    vr: 'SQ',
    value: [
      [
        { tag: '00080100', vr: 'SH', value: value },
        { tag: '00080102', vr: 'SH', value: scheme },
        { tag: '00080104', vr: 'LO', value: meaning },
      ],
    ],
  };
}

function item(
  relationship: string,
  kind: string,
  concept: Code,
  more: WrittenElement[] = [],
): WrittenElement[] {
  return [
    { tag: '0040a010', vr: 'CS', value: relationship },
    { tag: '0040a040', vr: 'CS', value: kind },
    coded('0040a043', concept),
    ...more,
  ];
}

const within = (...children: WrittenElement[][]): WrittenElement => ({
  tag: '0040a730',
  vr: 'SQ',
  value: children,
});
const says = (concept: Code, value: Code): WrittenElement[] =>
  item('HAS CONCEPT MOD', 'CODE', concept, [coded('0040a168', value)]);

function number(
  concept: Code,
  value: string,
  unit: string,
  ...modifiers: WrittenElement[][]
): WrittenElement[] {
  const measured: WrittenElement = {
    tag: '0040a300',
    vr: 'SQ',
    value: [[{ tag: '0040a30a', vr: 'DS', value }, coded('004008ea', [unit, 'UCUM', unit])]],
  };
  return item('CONTAINS', 'NUM', concept, [
    measured,
    ...(modifiers.length > 0 ? [within(...modifiers)] : []),
  ]);
}

const site: Code = ['363698007', 'SCT', 'Finding Site'];
const mode: Code = ['399264008', 'SCT', 'Image Mode'];
const flow: Code = ['260674002', 'SCT', 'Flow Direction'];
const view: Code = ['111031', 'DCM', 'Image View'];
const mMode: Code = ['399155008', 'SCT', 'M mode'];
const lvidd: Code = ['29436-3', 'LN', 'Left Ventricle Internal End Diastolic Dimension'];
const velocity: Code = ['20355-4', 'LN', 'Peak Blood Velocity'];

async function measured(...children: WrittenElement[][]): Promise<MachineMeasurement[]> {
  const file = writePart10(
    [
      { tag: '00080005', vr: 'CS', value: 'ISO_IR 192' },
      { tag: '00080016', vr: 'UI', value: '1.2.840.10008.5.1.4.1.1.88.33' },
      { tag: '00080018', vr: 'UI', value: '2.25.11' },
      coded('0040a043', ['125200', 'DCM', 'Adult Echocardiography Procedure Report']),
      within(...children),
    ],
    null,
  );
  const read = await readReport(memorySource(file));
  if (!read.ok) throw new Error(read.problem.code);
  return read.value.report.measurements;
}

const group = (...children: WrittenElement[][]): WrittenElement[] =>
  item('CONTAINS', 'CONTAINER', ['125007', 'DCM', 'Measurement Group'], [within(...children)]);

describe('a report of a machine', () => {
  it('gives a number what its group says: mode, site, view; and converts its unit', async () => {
    const papillary: Code = ['399271003', 'SCT', 'Parasternal short axis at the Papillary Muscle level'];
    const [one] = await measured(group(says(mode, mMode), number(lvidd, '4.8', 'cm', says(view, papillary))));
    expect(one).toMatchObject({
      code: 'lvidd',
      value: 48,
      unit: 'mm',
      written: '4.8',
      unitWritten: 'cm',
      method: 'm-mode',
      view: 'rps-short-papillary',
      beat: null,
    });
  });

  it('reads older code schemes by their twins (SNOMED-RT)', async () => {
    const aortic: Code = ['T-35400', 'SRT', 'Aortic Valve'];
    const [one] = await measured(
      item(
        'CONTAINS',
        'CONTAINER',
        ['121070', 'DCM', 'Findings'],
        [
          within(
            says(['G-C0E3', 'SRT', 'Finding Site'], aortic),
            group(
              says(['G-0373', 'SRT', 'Image Mode'], ['R-409E3', 'SRT', 'Doppler Continuous Wave']),
              number(
                velocity,
                '132',
                'cm/s',
                says(['G-C048', 'SRT', 'Flow Direction'], ['263677008', 'SCT', 'Antegrade Flow']),
              ),
            ),
          ),
        ],
      ),
    );
    expect(one).toMatchObject({ code: 'ao-vmax', value: 1.32, unit: 'm/s', method: 'doppler' });
  });

  it('names nothing where what is needed beside a concept is missing: a velocity without valve or direction', async () => {
    const tricuspid = says(site, ['46030003', 'SCT', 'Tricuspid valve']);
    const all = await measured(
      group(number(velocity, '290', 'cm/s')),
      group(tricuspid, number(velocity, '290', 'cm/s')),
      group(tricuspid, number(velocity, '290', 'cm/s', says(flow, ['397417004', 'SCT', 'Regurgitant Flow']))),
      group(number(['29469-4', 'LN', 'Left Atrium Antero-posterior Systolic Dimension'], '3.9', 'cm')),
    );
    expect(all.map((entry) => entry.code)).toEqual([null, null, 'tr-vmax', null]);
  });

  it('keeps what it does not know under its own name, and converts no unit that it does not know', async () => {
    const all = await measured(
      group(number(['99-1', '99VENDOR', 'Wall stress index'], '12.5', 'g/cm2')),
      group(number(lvidd, '1.9', '[in_i]')),
      group(number(lvidd, 'abc', 'cm')),
    );
    expect(all).toHaveLength(2);
    expect(all[0]).toMatchObject({
      code: null,
      name: 'Wall stress index',
      concept: '99-1 99VENDOR',
      written: '12.5',
      value: null,
    });
    expect(all[1]).toMatchObject({ code: null, written: '1.9', unitWritten: '[in_i]', value: null });
  });

  it('counts single values of one kind as beats and leaves an average out of the count', async () => {
    const mean = says(['121401', 'DCM', 'Derivation'], ['373098007', 'SCT', 'Mean']);
    const all = await measured(
      group(number(lvidd, '4.8', 'cm'), number(lvidd, '4.6', 'cm'), number(lvidd, '4.7', 'cm', mean)),
    );
    expect(all.map((entry) => [entry.beat, entry.averaged])).toEqual([
      [1, false],
      [2, false],
      [null, true],
    ]);
  });

  it('ends on a tree without end', async () => {
    let inner = group(number(lvidd, '4.8', 'cm'));
    for (let n = 0; n < 40; n += 1) inner = group(inner);
    const read = await measured(inner).catch((thrown: unknown) => thrown);
    expect(Array.isArray(read) || read instanceof Error).toBe(true);
  });
});

describe('the code map', () => {
  it('is the one in the shared folder', () => {
    const path = new URL('../../../../shared/codes/machine-reports.json', import.meta.url);
    const shared = JSON.parse(readFileSync(path, 'utf8')) as Record<string, unknown>;
    for (const [name, value] of Object.entries(codeMap)) expect(value).toEqual(shared[name]);
  });

  it('gives each pair of code and needs one meaning only', () => {
    const keys = codeMap.measurements.map(
      (entry) => `${entry.scheme} ${entry.code} ${JSON.stringify(entry.needs ?? {})}`,
    );
    expect(new Set(keys).size).toBe(keys.length);
  });
});

const folder = process.env['CHORDAE_SHARED_DATA'] ?? '';
const there = existsSync(join(folder, 'drawn', 'EXPECTED.json'));

/** Values as dsrdump (DCMTK 3.6.7) prints them, in our units. */
describe.skipIf(!there)('the invented reports (CHORDAE_SHARED_DATA)', () => {
  const table = async (name: string): Promise<unknown[]> => {
    const read = await readReport(memorySource(new Uint8Array(readFileSync(join(folder, 'drawn', name)))));
    if (!read.ok) throw new Error(read.problem.code);
    expect(read.value.machine.patientName).toBe('Tester Rex');
    return read.value.report.measurements.flatMap((m) =>
      m.code === null ? [] : [[m.code, m.value, m.unit, m.method, m.beat]],
    );
  };

  it('by TID 5200', async () => {
    expect(await table('vet_echo_sr_tid5200.dcm')).toEqual([
      ['heart-rate', 100, '/min', null, null],
      ['ivsd', 10.2, 'mm', 'm-mode', null],
      ['lvidd', 48, 'mm', 'm-mode', null],
      ['lvwd', 9.8, 'mm', 'm-mode', null],
      ['ivss', 13.5, 'mm', 'm-mode', null],
      ['lvids', 35.5, 'mm', 'm-mode', null],
      ['lvws', 13.1, 'mm', 'm-mode', null],
      ['lv-edv', 88, 'ml', '2d', null],
      ['lv-esv', 41, 'ml', '2d', null],
      ['ivrt', 52, 'ms', 'doppler', null],
      ['mitral-e', 0.9, 'm/s', 'doppler', null],
      ['mitral-a', 0.6, 'm/s', 'doppler', null],
      ['epss', 4.5, 'mm', 'm-mode', null],
      ['ao-vmax', 1.32, 'm/s', 'doppler', null],
      ['pa-vmax', 0.98, 'm/s', 'doppler', null],
      ['tr-vmax', 2.9, 'm/s', 'doppler', null],
    ]);
  });

  it('by TID 5300, with beats and the picture that a number was drawn on', async () => {
    expect(await table('vet_echo_sr_tid5300.dcm')).toEqual([
      ['lvidd', 48, 'mm', 'm-mode', 1],
      ['lvidd', 47.4, 'mm', 'm-mode', 2],
      ['lvids', 35.5, 'mm', 'm-mode', null],
      ['ivsd', 10.2, 'mm', 'm-mode', null],
      ['ivss', 13.5, 'mm', 'm-mode', null],
      ['lvwd', 9.8, 'mm', 'm-mode', null],
      ['lvws', 13.1, 'mm', 'm-mode', null],
      ['mitral-e', 0.9, 'm/s', 'doppler', null],
      ['mitral-a', 0.6, 'm/s', 'doppler', null],
      ['tr-vmax', 2.9, 'm/s', 'doppler', null],
      ['tapse', 14, 'mm', null, null],
    ]);
  });
});
