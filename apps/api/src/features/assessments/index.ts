export { assessClipJob } from './assess-clip.job';
export { assessmentSummaries } from './assessments.repository';
export { registerAssessments } from './assessments.routes';
