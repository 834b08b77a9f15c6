export { registerAccounts } from './accounts.routes';
export { confirmPassword, describeMe, findAgreement, hashPassword, listAgreements } from './accounts.service';
export { agreements, practices, readingGroups } from './accounts.tables';
export { groupSettingsOf, setGroupSettings } from './group-settings';
export { paperHeadOf } from './paper-head';
export { peopleOfGroup, peopleOfPractice, practiceName } from './people';
