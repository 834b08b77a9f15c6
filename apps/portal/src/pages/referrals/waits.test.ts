import { describe, expect, it } from 'vitest';
import { sayWaiting, waitsOn } from './waits';

describe('on whom a scan report waits', () => {
  const signed = { state: 'reported' as const, reportTalk: null, readerName: null, groupName: '' };
  it('is the practice: its vet and manager, not who scanned', () => {
    expect(waitsOn(signed, ['referring-vet'])).toBe('you');
    expect(waitsOn(signed, ['manager'])).toBe('you');
    expect(waitsOn(signed, ['sonographer'])).toBe('practice');
    expect(waitsOn({ state: 'filed' }, ['referring-vet'])).toBe('nobody');
  });

  it('is who scanned while the practice asks, also after filing', () => {
    for (const state of ['reported', 'filed'] as const) {
      const asked = { ...signed, state, reportTalk: 'practice' as const };
      expect(waitsOn(asked, ['sonographer'])).toBe('you');
      expect(sayWaiting(asked)).toContain('asks something');
      expect(sayWaiting({ ...asked, reportTalk: 'sonographer' })).not.toContain('asks');
    }
    expect(waitsOn({ state: 'sent', reportTalk: 'practice' }, ['sonographer'])).toBe('readers');
  });

  it('says of a draft that nobody is asked about that its report is not signed', () => {
    expect(sayWaiting({ ...signed, state: 'draft' })).toBe('Draft: scan report not signed yet.');
    expect(sayWaiting({ ...signed, state: 'draft', groupName: 'Test Readers' })).toBe('Draft: not sent yet.');
  });
});
