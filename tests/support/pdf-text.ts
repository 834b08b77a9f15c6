interface PdfItem {
  readonly str?: string;
  readonly transform?: readonly number[];
}
interface PdfPage {
  getTextContent(options?: object): Promise<{ items: PdfItem[] }>;
  getStructTree(): Promise<PdfNode | null>;
  getOperatorList(): Promise<{ fnArray: number[] }>;
  readonly view: readonly number[];
}
export interface PdfNode {
  readonly role?: string;
  readonly alt?: string;
  readonly children?: readonly PdfNode[];
}
interface PdfDocument {
  readonly numPages: number;
  getPage(number: number): Promise<PdfPage>;
  getMetadata(): Promise<{ info: Record<string, unknown> }>;
  getMarkInfo(): Promise<{ Marked?: boolean } | null>;
  destroy(): Promise<void>;
}

export interface ReadPdf {
  readonly pages: readonly string[];
  /** Everything on one line of spaces, for looking for words that a line end may part. */
  readonly text: string;
  readonly info: Record<string, unknown>;
  readonly marked: boolean;
  /** Every element of the structure tree, in order, over all pages. */
  readonly nodes: readonly PdfNode[];
  /** Drawing steps that belong to no element of the tree and are not marked as decoration either. */
  readonly untagged: number;
  /** Lowest and highest text on each page, in points from the foot. */
  readonly reach: readonly { low: number; high: number; left: number }[];
}

/** Reads a PDF as another program would: by pdfjs-dist, which had no part in writing it. */
export async function readPdf(bytes: Uint8Array): Promise<ReadPdf> {
  const place = 'pdfjs-dist/legacy/build/pdf.mjs';
  const { getDocument, OPS } = (await import(place)) as {
    getDocument(options: object): { promise: Promise<PdfDocument> };
    OPS: Record<string, number>;
  };
  const names = new Map(Object.entries(OPS).map(([name, n]) => [n, name]));
  let untagged = 0;
  const pdf = await getDocument({ data: new Uint8Array(bytes), verbosity: 0, useSystemFonts: false }).promise;
  const pages: string[] = [];
  const nodes: PdfNode[] = [];
  const reach: { low: number; high: number; left: number }[] = [];
  for (let n = 1; n <= pdf.numPages; n += 1) {
    const page = await pdf.getPage(n);
    const { items } = await page.getTextContent();
    const texts = items.filter((i) => (i.str ?? '').trim() !== '');
    pages.push(texts.map((i) => i.str).join(' '));
    const ys = texts.map((i) => i.transform?.[5] ?? 0);
    const xs = texts.map((i) => i.transform?.[4] ?? 0);
    reach.push({ low: Math.min(...ys), high: Math.max(...ys), left: Math.min(...xs) });
    collect(await page.getStructTree(), nodes);
    untagged += outsideMarks((await page.getOperatorList()).fnArray.map((fn) => names.get(fn) ?? ''));
  }
  const { info } = await pdf.getMetadata();
  const mark = await pdf.getMarkInfo();
  await pdf.destroy();
  return {
    pages,
    text: pages.join(' ').replace(/\s+/g, ' '),
    info,
    marked: mark?.Marked === true,
    nodes,
    untagged,
    reach,
  };
}

const DRAWS = /^(show|fill|stroke|eoFill|constructPath|paint)/;

function outsideMarks(steps: readonly string[]): number {
  let depth = 0;
  let outside = 0;
  for (const step of steps) {
    if (step.startsWith('beginMarkedContent')) depth += 1;
    else if (step === 'endMarkedContent') depth -= 1;
    else if (depth === 0 && DRAWS.test(step)) outside += 1;
  }
  return outside;
}

function collect(node: PdfNode | null, into: PdfNode[]): void {
  if (!node) return;
  if (node.role) into.push(node);
  for (const child of node.children ?? []) collect(child, into);
}
