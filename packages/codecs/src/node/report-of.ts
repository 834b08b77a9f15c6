import type { Read } from '@chordae/dicom';
import { readReport } from '@chordae/dicom/report';
import type { ReadReportAnswer, ReadReportRequest } from '../reading';
import { openFileSource } from './file-source';
import { inflate } from './inflate';

/** A machine's structured report from its file. */
export async function reportOf(request: Omit<ReadReportRequest, 'kind'>): Promise<Read<ReadReportAnswer>> {
  const source = await openFileSource(request.originalPath);
  try {
    const read = await readReport(source, { inflate });
    return read.ok ? { ok: true, value: { kind: 'read-report', ...read.value } } : read;
  } finally {
    await source.close();
  }
}
