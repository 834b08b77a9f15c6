export { groupSettingsOf } from './group-settings';
export { registerGroupWork } from './group-work.routes';
