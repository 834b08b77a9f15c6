/**
 * From an opinion to what is signed and what is printed.
 *
 * Terms: the *canonical text* is the exact characters that are hashed and signed; the *page model* is the printed
 * document as plain blocks, painted alike as a preview and as PDF.
 */
export * from './blocks';
export * from './canonical-text';
export * from './frame-ellipse';
export * from './keeper-page';
export * from './opinion-document';
export * from './page-model';
export * from './page-words';
