/** Why a referral was not sent: what its sender had looked over is no longer what stands. */
export function saySendingChanged(what: 'referral' | 'numbers'): string {
  return what === 'numbers'
    ? 'Numbers of this case were changed after you looked it over. Look at them, then send it again. Nothing was sent.'
    : 'Somebody else changed the question, the history or the urgency after you looked it over. Read it, then send it again. Nothing was sent.';
}

/** The same for lists. */
export const SENDING_WAITS = 'Asked, not sent yet: nobody has it.';

/** Beside a referral that is asked for without a network. */
export const SENDING_NO_NETWORK =
  'There is no network. Nobody has this referral before it has been sent: it is kept on this device and goes by itself.';

const WHERE = {
  network:
    'waits on this device for a network: nobody has it yet. It goes by itself as soon as there is one.',
  turn: 'is on its way from this device: nobody has it yet.',
  signature:
    'waits on this device behind your signature: nobody has it yet. It goes once you have given your password, under On this device.',
  behind: 'waits on this device behind something that was not taken: nobody has it yet. Look at that first.',
  'not-taken':
    'was not taken, and nobody has it. Read why, look it over, and send it again: that takes the place of the first.',
} as const;

/** Where a referral that was asked for on a device stands, in full. */
export function saySendingWaits(groupName: string, where: keyof typeof WHERE): string {
  return `The referral to ${groupName === '' ? 'the readers' : groupName} ${WHERE[where]}`;
}

/** '1 referral is not sent yet: nobody has it.' */
export function sayUnsentReferrals(n: number): string {
  return `${n} ${n === 1 ? 'referral is' : 'referrals are'} not sent yet: nobody has ${n === 1 ? 'it' : 'them'}.`;
}

/** While a referral waits nobody answers: what to do with an animal that cannot wait. */
export const SENDING_TREAT =
  'Treat on your own judgement, telephone, and do not wait for an answer: none can come before the referral has been sent.';
