import { describe, expect, it } from 'vitest';
import { actionOf, clashesOf, DEFAULT_KEYS, DESK_ACTIONS, keyOf, keysWith, showKey } from './desk-keys';

describe('the keys of the desk', () => {
  it('give each action its own key', () => {
    expect(clashesOf(DEFAULT_KEYS)).toEqual([]);
    expect(clashesOf(keysWith({ 'tool-length': 'a' }))).toEqual([
      { key: 'a', actions: ['tool-length', 'tool-pair'] },
    ]);
  });

  it('are found from what is pressed, capital letters or not', () => {
    const pressed = (key: string, shiftKey = false) => actionOf({ key, shiftKey }, DEFAULT_KEYS);
    expect(pressed('l')).toBe('tool-length');
    expect(pressed('L', true)).toBe('phase-mode');
    expect(pressed(' ')).toBe('play-or-hold');
    expect(pressed('?', true)).toBe('keys-list');
    expect(pressed('+', true)).toBe('larger');
    expect(pressed('ArrowLeft', true)).toBe('pan-left');
    expect(pressed('Tab', true)).toBe('point-before');
    expect(pressed('7')).toBeNull();
  });

  it('can be changed by a person, and what is unknown changes nothing', () => {
    const own = keysWith({ 'tool-length': '#', nonsense: 'b' });
    expect(actionOf({ key: '#', shiftKey: false }, own)).toBe('tool-length');
    expect(actionOf({ key: 'l', shiftKey: false }, own)).toBeNull();
    expect(Object.keys(own)).toEqual(Object.keys(DESK_ACTIONS));
  });

  it('are shown as keyboards write them', () => {
    expect(['shift+arrowleft', 'enter', 'l', '?', 'pagedown'].map(showKey)).toEqual([
      'shift ←',
      'Enter',
      'L',
      '?',
      'Page down',
    ]);
    expect(keyOf({ key: 'É', shiftKey: true })).toBe('shift+é');
  });
});
