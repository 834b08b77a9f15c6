import type { IndexResult } from '@chordae/contract';
import type PDFDocument from 'pdfkit';

type Doc = InstanceType<typeof PDFDocument>;
type Struct = ReturnType<Doc['struct']>;

export function paintLimitLine(
  _doc: Doc,
  _page: Struct,
  _index: IndexResult,
  _alt: string,
  _widthPt: number,
): void {}
