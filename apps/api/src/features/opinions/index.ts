export { endReading, registerHandOver } from './hand-over.routes';
export { mailPractice } from './notices';
export { requireReader } from './opinion-access';
export { draftRow, flagAnswersOf, interimsOf, loadDraft, openReading, wishesOf } from './opinions.repository';
export { registerOpinions } from './opinions.routes';
export { readings } from './opinions.tables';
