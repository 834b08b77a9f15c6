export { mailPractice } from './notices';
export { draftRow, flagAnswersOf, interimsOf, loadDraft, openReading, wishesOf } from './opinions.repository';
export { groupOf, registerOpinions, requireReader } from './opinions.routes';
export { readings } from './opinions.tables';
