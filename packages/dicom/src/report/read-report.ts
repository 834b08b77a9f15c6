import type { MachineReport, MachineSays } from '@chordae/contract';
import { code, has, legible, text } from '../attributes';
import type { ReadOptions } from '../header';
import { openDicom } from '../header';
import { isoDate, readMachineSays } from '../machine';
import type { ByteSource, Read } from '../source';
import { refuse } from '../source';
import { readContent } from './content';
import { reportMeasurements } from './measurements';

export interface ReadReport {
  readonly report: MachineReport;
  readonly machine: MachineSays;
}

/**
 * Reads a DICOM structured report (PS3.3 A.35) with measurements by TID 5200, TID 5300 or older.
 * Refuses as `openDicom` does, and DICOM_NO_PIXELS {modality} when it is no report.
 */
export async function readReport(source: ByteSource, options: ReadOptions = {}): Promise<Read<ReadReport>> {
  const opened = await openDicom(source, options);
  if (!opened.ok) return opened;
  const { dataSet } = opened.value;
  if (!has(dataSet, 'x0040a730'))
    return refuse('DICOM_NO_PIXELS', { modality: legible(code(dataSet, 'x00080060'), 16) });
  const root = readContent(dataSet);
  const characterSet = code(dataSet, 'x00080005') ?? '';
  return {
    ok: true,
    value: {
      machine: readMachineSays(dataSet),
      report: {
        title: root.concept?.meaning ?? text(dataSet, 'x0008103e', characterSet) ?? '',
        madeOn: isoDate(code(dataSet, 'x00080023')),
        complete: code(dataSet, 'x0040a491') !== 'PARTIAL',
        measurements: reportMeasurements(root),
      },
    },
  };
}
