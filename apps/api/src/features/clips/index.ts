export { registerClipStatements, statementsOf } from './clip-statements.routes';
export { clipStatements } from './clip-statements.tables';
export { clipsOf, findClip } from './clips.repository';
export { registerClips, sendBytes } from './clips.routes';
export { clipOrigins, clips, packs } from './clips.tables';
export { groupFramePng, maskedFramePng } from './frame-picture';
export { decoderLimits } from './read-original';
export { readOriginalJob, remaskClip } from './read-original.job';
