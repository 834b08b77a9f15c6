import type { WrittenElement } from '@chordae/dicom';
import { writePart10 } from '@chordae/dicom';

const coded = (tag: string, value: string, scheme: string, meaning: string): WrittenElement => ({
  tag,
  vr: 'SQ',
  value: [
    [
      { tag: '00080100', vr: 'SH', value },
      { tag: '00080102', vr: 'SH', value: scheme },
      { tag: '00080104', vr: 'LO', value: meaning },
    ],
  ],
});

/** A structured report of one machine: LVIDd 4.8 cm, and an index that nobody else knows. Invented numbers. */
export function madeReport({ name = 'EXAMPLE^PEBBLE' } = {}): Uint8Array {
  const number = (code: string, scheme: string, meaning: string, value: string, unit: string) => [
    { tag: '0040a010', vr: 'CS', value: 'CONTAINS' },
    { tag: '0040a040', vr: 'CS', value: 'NUM' },
    coded('0040a043', code, scheme, meaning),
    {
      tag: '0040a300',
      vr: 'SQ',
      value: [[{ tag: '0040a30a', vr: 'DS', value }, coded('004008ea', unit, 'UCUM', unit)]],
    },
  ];
  return writePart10(
    [
      { tag: '00080005', vr: 'CS', value: 'ISO_IR 192' },
      { tag: '00080016', vr: 'UI', value: '1.2.840.10008.5.1.4.1.1.88.33' },
      { tag: '00080018', vr: 'UI', value: '2.25.31' },
      { tag: '00080060', vr: 'CS', value: 'SR' },
      { tag: '00100010', vr: 'PN', value: name },
      coded('0040a043', '125200', 'DCM', 'Adult Echocardiography Procedure Report'),
      {
        tag: '0040a730',
        vr: 'SQ',
        value: [
          number('80008-6', 'LN', 'Left ventricular internal diastolic dimension - MM', '4.8', 'cm'),
          number('X-1', '99MAKER', 'Ventricular shape index', '0.82', '{ratio}'),
        ],
      },
    ],
    null,
  );
}
