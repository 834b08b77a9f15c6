import { createRequire } from 'node:module';
import path from 'node:path';
import type { Picture, Read } from '@chordae/dicom';
import { machineSaysNothing, refuse } from '@chordae/dicom';
import type { FileSource } from './file-source';
import type { Original } from './original';
import { describePages } from './stills';

const largestPdf = 100_000_000;
const mostPages = 200;
/** Dots per inch at which a page is drawn, and the longest side allowed. */
const dotsPerInch = 150;
const longestSidePx = 4096;

/** The parts of pdfjs-dist and of the optional canvas that are used here. */
interface PdfPage {
  getViewport(options: { scale: number }): { width: number; height: number };
  render(options: object): { promise: Promise<void> };
  cleanup(): void;
}
interface PdfDocument {
  readonly numPages: number;
  getPage(number: number): Promise<PdfPage>;
  destroy(): Promise<void>;
}
interface Canvas {
  getContext(kind: '2d'): {
    fillStyle: string;
    fillRect(x: number, y: number, width: number, height: number): void;
    getImageData(x: number, y: number, width: number, height: number): { data: Uint8ClampedArray };
  };
}
type MakeCanvas = (width: number, height: number) => Canvas;

interface PdfTools {
  open(bytes: Uint8Array): Promise<PdfDocument>;
  readonly createCanvas: MakeCanvas;
}

let tools: Promise<PdfTools | null> | null = null;

async function load(): Promise<PdfTools | null> {
  const require = createRequire(import.meta.url);
  let createCanvas: MakeCanvas;
  try {
    ({ createCanvas } = require('@napi-rs/canvas') as { createCanvas: MakeCanvas });
  } catch {
    return null;
  }
  const folder = `${path.dirname(require.resolve('pdfjs-dist/package.json'))}/`;
  const place = 'pdfjs-dist/legacy/build/pdf.mjs';
  const { getDocument } = (await import(place)) as {
    getDocument(options: object): { promise: Promise<PdfDocument> };
  };
  return {
    createCanvas,
    open: (data) =>
      getDocument({
        data,
        // Nothing in a document is run, nothing is fetched for it; fonts are those it carries and the standard ones.
        isEvalSupported: false,
        enableXfa: false,
        disableFontFace: true,
        useSystemFonts: false,
        useWorkerFetch: false,
        standardFontDataUrl: `${folder}standard_fonts/`,
        cMapUrl: `${folder}cmaps/`,
        cMapPacked: true,
        wasmUrl: `${folder}wasm/`,
        verbosity: 0,
      }).promise,
  };
}

interface Shape {
  readonly width: number;
  readonly height: number;
  readonly scale: number;
}

/** The pages of a PDF as pictures, as a machine's report comes. All have the size of the largest, white around smaller ones. */
export async function openPdf(source: FileSource): Promise<Read<Original>> {
  if (source.size > largestPdf) return refuse('FILE_TOO_LARGE', { bytes: source.size });
  tools ??= load();
  const loaded = await tools;
  if (loaded === null) return refuse('FORMAT_NOT_YET_READ', { what: 'a PDF document' });
  const bytes = new Uint8Array(await source.read(0, source.size));
  const document = await loaded.open(bytes).catch(() => null);
  if (document === null) return refuse('DOCUMENT_DAMAGED');
  const { numPages } = document;
  if (numPages > mostPages) return refuse('FRAMES_TOO_MANY', { frames: numPages });
  const shapes: Shape[] = [];
  for (let number = 1; number <= numPages; number += 1) {
    const shape = await shapeOf(document, number).catch(() => null);
    if (shape === null) return refuse('FRAME_DAMAGED', { frame: number });
    shapes.push(shape);
  }
  const widthPx = Math.max(...shapes.map((shape) => shape.width));
  const heightPx = Math.max(...shapes.map((shape) => shape.height));
  if (!(widthPx > 0 && heightPx > 0)) return refuse('DOCUMENT_DAMAGED');
  return {
    ok: true,
    value: {
      description: describePages('pdf', widthPx, heightPx, numPages, null),
      machine: machineSaysNothing,
      asItCame: () => Promise.resolve({ ok: true, value: null }),
      async picture(frame) {
        const shape = shapes[frame];
        if (shape === undefined) return refuse('FRAME_NOT_THERE', { frame: frame + 1, frames: numPages });
        const drawn = await draw(loaded, document, frame + 1, shape.scale, widthPx, heightPx).catch(
          () => null,
        );
        return drawn === null ? refuse('FRAME_DAMAGED', { frame: frame + 1 }) : { ok: true, value: drawn };
      },
      async close() {
        await document.destroy().catch(() => undefined);
        await source.close();
      },
    },
  };
}

async function shapeOf(document: PdfDocument, number: number): Promise<Shape> {
  const page = await document.getPage(number);
  const natural = page.getViewport({ scale: 1 });
  const scale = Math.min(dotsPerInch / 72, longestSidePx / Math.max(natural.width, natural.height, 1));
  return { width: Math.round(natural.width * scale), height: Math.round(natural.height * scale), scale };
}

async function draw(
  { createCanvas }: PdfTools,
  document: PdfDocument,
  number: number,
  scale: number,
  widthPx: number,
  heightPx: number,
): Promise<Picture> {
  const canvas = createCanvas(widthPx, heightPx);
  const context = canvas.getContext('2d');
  context.fillStyle = '#ffffff';
  context.fillRect(0, 0, widthPx, heightPx);
  const page = await document.getPage(number);
  const viewport = page.getViewport({ scale });
  await page.render({ canvasContext: context, viewport, background: '#ffffff', annotationMode: 0 }).promise;
  page.cleanup();
  const { data } = context.getImageData(0, 0, widthPx, heightPx);
  const pixels = new Uint8Array(3 * widthPx * heightPx);
  for (let n = 0; n < widthPx * heightPx; n += 1) pixels.set(data.subarray(4 * n, 4 * n + 3), 3 * n);
  return { widthPx, heightPx, channels: 3, pixels };
}
