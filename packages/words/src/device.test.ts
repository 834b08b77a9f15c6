import { describe, expect, it } from 'vitest';
import { sayKeptCount, sayLeft, sayNeedsYou, sayNoNetwork, sayReferralNumber, sayWrite } from './en/device';

describe('what is kept on a device', () => {
  it('is counted in words, one and several', () => {
    expect(sayKeptCount(14, 5)).toBe('14 changes and 5 files');
    expect(sayKeptCount(0, 1)).toBe('1 file');
    expect(sayKeptCount(0, 0)).toBe('nothing');
    expect(sayNoNetwork(14, 5)).toBe('No network: 14 changes and 5 files are kept on this device.');
    expect(sayNoNetwork(1, 0)).toBe('No network: 1 change is kept on this device.');
    expect(sayNeedsYou(1, 2, 0)).toBe('1 change and 2 choices on this device need you.');
  });

  it('is never called nothing where a route has no words of its own', () => {
    expect(sayWrite('putWeight')).toBe('a body weight');
    expect(sayWrite('someLaterRoute')).toBe('a change');
    expect(sayReferralNumber(0)).toBe('Referral without a number yet');
    expect(sayReferralNumber(31)).toBe('Referral 31');
  });

  it('is accounted for when its practice was left', () => {
    const left = { changes: 2, files: 1, state: 'handed-over' as const };
    expect(sayLeft('Practice B', '14:05', left)).toBe(
      'You no longer belong to Practice B (noticed 14:05): what was kept of it for reading was removed from this device. 2 changes and 1 file that had not been sent were handed to the practice.',
    );
    expect(sayLeft('Practice B', '14:05', { ...left, state: 'refused' })).toMatch(/could not be handed/);
  });
});
