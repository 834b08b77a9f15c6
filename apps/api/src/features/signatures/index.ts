export { picturesOf } from './frame-pictures';
export { clipsOnPaper } from './gather-document';
export { opinionPages, pdfTitle, type Sender } from './opinion-pages';
export { paintPdf } from './paint/paint-pdf';
export {
  heightOf,
  INK,
  MARGIN,
  need,
  type Paper,
  paintOnPaper,
  QUIET,
  RULE,
  rule,
  WIDTH,
  write,
} from './paint/paper';
export { PDF_POLICY } from './pdf-policy';
export { renderOpinion } from './render-opinion';
export { registerSignatures, signedOpinionsOf } from './signatures.routes';
export { signedOpinions } from './signatures.tables';
