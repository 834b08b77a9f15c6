import { describe, expect, it } from 'vitest';
import type { UploadItem, UploadState } from './upload-state';
import { isLitter, rateOf, secondsLeft, startable, unfinished } from './upload-state';

const item = (arrivalId: string, state: UploadState): UploadItem => ({
  arrivalId,
  practiceId: 'p',
  referralId: 'r',
  scanId: 's',
  fileName: `${arrivalId}.dcm`,
  sizeBytes: 1000,
  sentBytes: 0,
  state,
  bytesPerSecond: null,
  says: null,
  header: null,
});

describe('uploads', () => {
  it('start in order, three at once', () => {
    const items = [
      item('a', 'sending'),
      item('b', 'waiting'),
      item('c', 'paused'),
      item('d', 'waiting'),
      item('e', 'waiting'),
    ];
    expect(startable(items).map((i) => i.arrivalId)).toEqual(['b', 'd']);
  });

  it('start none while three are running', () => {
    expect(startable(['a', 'b', 'c'].map((id) => item(id, 'sending')).concat(item('d', 'waiting')))).toEqual(
      [],
    );
  });

  it('count a paused or interrupted file as still on its way, a refused one not', () => {
    const items = [
      item('a', 'paused'),
      item('b', 'failed'),
      item('c', 'refused'),
      item('d', 'known'),
      item('e', 'done'),
    ];
    expect(unfinished(items).map((i) => i.arrivalId)).toEqual(['a', 'b']);
  });

  it('tell bytes a second only when there is enough to tell from', () => {
    expect(rateOf([{ at: 0, bytes: 0 }])).toBeNull();
    expect(
      rateOf([
        { at: 0, bytes: 0 },
        { at: 100, bytes: 50 },
      ]),
    ).toBeNull();
    expect(
      rateOf([
        { at: 0, bytes: 0 },
        { at: 2000, bytes: 5000 },
      ]),
    ).toBe(2500);
  });

  it('tell the time left from rate and rest', () => {
    expect(secondsLeft({ sizeBytes: 1000, sentBytes: 400, bytesPerSecond: 200 })).toBe(3);
    expect(secondsLeft({ sizeBytes: 1000, sentBytes: 400, bytesPerSecond: null })).toBeNull();
  });

  it('leave out what a stick carries by itself', () => {
    expect(['.DS_Store', 'Thumbs.db', 'desktop.ini', '._IM_0001'].every(isLitter)).toBe(true);
    expect(isLitter('IM_0001')).toBe(false);
  });
});
