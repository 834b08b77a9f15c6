export { renderOpinion } from './render-opinion';
export { registerSignatures, signedOpinionsOf } from './signatures.routes';
export { signedOpinions } from './signatures.tables';
