import { describe, expect, it } from 'vitest';
import { whatToName } from './name-later';

type Given = Parameters<typeof whatToName>[1];
const given = (state: string, clipId: string | null, view: string | null = null): Given =>
  ({
    arrivals: [{ id: 'a', state, clipId }],
    clips: clipId === null ? [] : [{ id: clipId, view }],
  }) as unknown as Given;
const said = { arrivalId: 'a', view: 'rps-long-4ch' as const };

describe('a view that was said of a file before the server had read it', () => {
  it('is given to its clip', () => {
    expect(whatToName(said, given('read', 'clip'))).toEqual({ clipId: 'clip' });
  });
  it('waits while the file is on its way or being read', () => {
    expect(whatToName(said, given('arriving', null))).toBe('wait');
    expect(whatToName(said, given('arrived', null))).toBe('wait');
  });
  it('does not go over what a person has said of the clip since', () => {
    expect(whatToName(said, given('read', 'clip', 'rps-short-aortic'))).toBe('nothing');
  });
  it('is let go where no clip comes of the file', () => {
    expect(whatToName(said, given('unreadable', null))).toBe('nothing');
    expect(whatToName(said, given('duplicate', null))).toBe('nothing');
    expect(whatToName(said, { arrivals: [], clips: [] })).toBe('nothing');
  });
});
