import type PDFDocument from 'pdfkit';

export type Doc = InstanceType<typeof PDFDocument>;
export type Struct = ReturnType<Doc['struct']>;

export const INK = '#17191b';
export const QUIET = '#565c61';
export const RULE = '#c3c8cb';
export const MARGIN = { top: 46, bottom: 58, side: 56 };
export const WIDTH = 595.28 - 2 * MARGIN.side;
