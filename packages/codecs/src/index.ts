export * from './luma';
export * from './mask';
export * from './pack/frame-pack';
export * from './pack/pack-stream';
export * from './reading';
