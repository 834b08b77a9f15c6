import { formatBytes, formatNumber, listOf } from './numbers';

/** What waits on a device, one by one; by the route that will take it. */
const WRITES: Record<string, string> = {
  putPatient: 'a new patient',
  patchPatient: 'changes to the patient',
  putKeeper: 'the keeper',
  putWeight: 'a body weight',
  putReferral: 'a new case',
  patchReferral: 'question, history or urgency',
  putScan: 'another scan',
  patchReport: 'the scan report',
  signReport: 'the signature of a scan report',
  putReportMessage: 'words to the practice',
  sendReferral: 'the sending of a referral',
  putRound: 'a round',
  patchRound: 'changes to a round',
  closeRound: 'the end of a round',
  putVisit: 'a patient on the round',
  patchVisit: 'changes to a visit',
  patchScan: 'the state at the scan',
  putMeasurement: 'a measurement',
  putObservation: 'an answer',
  patchClip: 'the view of a clip',
};

/** Routes that have words for the list of what waits. */
export const writesInWords: readonly string[] = Object.keys(WRITES);

/** One thing that waits: 'a body weight'. */
export function sayWrite(route: string): string {
  return WRITES[route] ?? 'a change';
}

function counted(n: number, one: string, several: string): string[] {
  return n === 0 ? [] : [`${formatNumber(n, 0)} ${n === 1 ? one : several}`];
}

/** '14 changes and 1 file'; 'nothing' when there is none. */
export function sayKeptCount(changes: number, files: number): string {
  const parts = [...counted(changes, 'change', 'changes'), ...counted(files, 'file', 'files')];
  return parts.length === 0 ? 'nothing' : listOf(parts);
}

/** The quiet line on every page while there is no network. */
export function sayNoNetwork(changes: number, files: number): string {
  const n = changes + files;
  return n === 0
    ? 'No network. What this device keeps can be read, and what you enter is kept until there is one.'
    : `No network: ${sayKeptCount(changes, files)} ${n === 1 ? 'is' : 'are'} kept on this device.`;
}

/** What is still to be sent although there is a network. */
export function sayOnTheWay(changes: number, files: number): string {
  return `${sayKeptCount(changes, files)} on the way from this device.`;
}

/** What waits for the person and not for the line: '2 changes and 1 choice on this device need you.' */
export function sayNeedsYou(held: number, choices: number, signatures: number): string {
  const parts = [
    ...counted(held, 'change', 'changes'),
    ...counted(choices, 'choice', 'choices'),
    ...counted(signatures, 'signature', 'signatures'),
  ];
  const n = held + choices + signatures;
  return `${listOf(parts)} on this device ${n === 1 ? 'needs' : 'need'} you.`;
}

/** The browser's room: 'used 12.4 MB of about 2.1 GB'. */
export function sayRoom(usedBytes: number, quotaBytes: number): string {
  return `${formatBytes(usedBytes)} used of about ${formatBytes(quotaBytes)} that this browser gives.`;
}

/** To somebody who has left a practice: what became of what was kept of it. */
export function sayLeft(
  practice: string,
  since: string,
  left: { changes: number; files: number; state: 'handing-over' | 'handed-over' | 'refused' },
): string {
  const begin = `You no longer belong to ${practice} (noticed ${since}): what was kept of it for reading was removed from this device.`;
  const what = sayKeptCount(left.changes, left.files);
  if (left.changes + left.files === 0) return `${begin} Nothing of it was unsent.`;
  if (left.state === 'handing-over')
    return `${begin} ${what} that had not been sent will be handed to the practice when there is a network.`;
  if (left.state === 'refused')
    return `${begin} ${what} that had not been sent could not be handed to the practice.`;
  return `${begin} ${what} that had not been sent ${left.changes + left.files === 1 ? 'was' : 'were'} handed to the practice.`;
}

/** 'Referral 31', 'Scan report 31'; without a number while the server has not given one. */
export function sayReferralNumber(number: number, what = 'Referral'): string {
  return number > 0 ? `${what} ${number}` : `${what} without a number yet`;
}
