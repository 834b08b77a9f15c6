import { describe, expect, it } from 'vitest';
import { keeperPageModel, keeperParts, NOT_RELEASED } from './keeper-page';

const page = (more: Partial<Parameters<typeof keeperPageModel>[0]> = {}) =>
  keeperPageModel({
    patientName: 'Pebble',
    text: 'Count the breaths.\n\n- asleep\n- every day',
    practice: { name: 'Test Practice', phone: '555 0101' },
    released: { by: 'Test Vet', on: '25 November 2026' },
    addedOn: null,
    demo: false,
    ...more,
  });

describe('the page for the keeper', () => {
  it('makes paragraphs and lists of a plain text, as in the example of its comment', () => {
    expect(keeperParts('Rest.\n- Count\n- Call')).toEqual([
      { kind: 'paragraph', text: 'Rest.' },
      { kind: 'points', points: ['Count', 'Call'] },
    ]);
  });

  it('joins lines of one paragraph, and takes an empty line or a list as its end', () => {
    expect(keeperParts('One\ntwo.\r\n\r\nThree.\n- a\nFour.')).toEqual([
      { kind: 'paragraph', text: 'One two.' },
      { kind: 'paragraph', text: 'Three.' },
      { kind: 'points', points: ['a'] },
      { kind: 'paragraph', text: 'Four.' },
    ]);
  });

  it('names the practice and whom to call, first and last', () => {
    const blocks = page();
    expect(blocks[0]).toEqual({ kind: 'practice', name: 'Test Practice', phone: '555 0101' });
    expect(blocks.at(-2)).toEqual({ kind: 'call', text: 'Questions: call Test Practice, 555 0101.' });
    expect(page({ practice: { name: 'Test Practice', phone: '' } }).at(-2)).toEqual({
      kind: 'call',
      text: 'Questions: ask Test Practice.',
    });
  });

  it('says when it was not released, and when something was added since', () => {
    const marks = (more: Parameters<typeof page>[0]) =>
      page(more).flatMap((b) => (b.kind === 'mark' ? [b.text] : []));
    expect(marks({})).toEqual([]);
    expect(marks({ released: null })).toEqual([NOT_RELEASED]);
    expect(marks({ addedOn: '1 December 2026' })[0]).toMatch(/added to the opinion on 1 December 2026/);
  });
});
