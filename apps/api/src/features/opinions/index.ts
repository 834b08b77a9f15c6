export { endReading, peopleOfGroup, registerHandOver } from './hand-over.routes';
export { mailPractice } from './notices';
export { groupOf, requireReader } from './opinion-access';
export { draftRow, flagAnswersOf, interimsOf, loadDraft, openReading, wishesOf } from './opinions.repository';
export { registerOpinions } from './opinions.routes';
export { readings } from './opinions.tables';
