export { firstFramesOf, saidOfFirstFrame } from './first-frames.repository';
export { registerFirstFrames } from './first-frames.routes';
export { firstFrames } from './first-frames.tables';
