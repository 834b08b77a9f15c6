export * from '../index';
export type { DecodeJob, DecodePlatform } from './decode-pack';
export { browserPlatform, decodePack, lumaFromRgba } from './decode-pack';
export type { FromDecodeWorker, ToDecodeWorker } from './messages';
export type { HeaderSays } from './read-header';
export { blobSource, readHeaderInBrowser } from './read-header';
