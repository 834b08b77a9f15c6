export * from '../index';
export type { DecodeJob, DecodePlatform } from './decode-pack';
export { browserPlatform, decodePack } from './decode-pack';
export type { FromDecodeWorker, ToDecodeWorker } from './messages';
export type { LumaFrame, OpenedHere, ShownFrame } from './open-in-browser';
export { openInBrowser } from './open-in-browser';
export type { HeaderSays } from './read-header';
export { blobSource, readHeaderInBrowser } from './read-header';
export { filmDecoder } from './web-codecs';
