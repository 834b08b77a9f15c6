import { describe, expect, it } from 'vitest';
import { csvText } from './csv';

/** Reads by the grammar of RFC 4180, section 2, written apart from the writer. */
function readCsv(text: string): string[][] {
  const rows: string[][] = [];
  let [row, field, quoted] = [[] as string[], '', false];
  for (let at = 0; at < text.length; at += 1) {
    const c = text[at] as string;
    if (quoted) {
      if (c !== '"') field += c;
      else if (text[at + 1] === '"') {
        field += '"';
        at += 1;
      } else quoted = false;
    } else if (c === '"') quoted = true;
    else if (c === ',') {
      row.push(field);
      field = '';
    } else if (c === '\r' && text[at + 1] === '\n') {
      rows.push([...row, field]);
      [row, field] = [[], ''];
      at += 1;
    } else field += c;
  }
  return rows;
}

describe('csvText', () => {
  it('comes back as it went in, whatever stands in it', () => {
    const rows = [
      ['plain', 'with, comma', 'with "quotes"', 'two\r\nlines', 'one\nline feed', '', 'Zoë 犬', '"'],
      ['a', 'b', 'c', 'd', 'e', 'f', 'g', ',"\r\n,'],
    ];
    expect(readCsv(csvText(rows))).toEqual(rows);
  });

  it('ends every line in CR LF, and quotes only what must be', () => {
    expect(
      csvText([
        ['a', 'b,c'],
        [1, 2.5],
      ]),
    ).toBe('a,"b,c"\r\n1,2.5\r\n');
  });

  it('lets no text become a formula, and no number become a text', () => {
    for (const evil of ['=1+1', '+1', '-1', '@SUM(A1)', '\t=1', ' =1', '\uff1d1', '=HYPERLINK("x","y")'])
      expect(readCsv(csvText([[evil]]))[0]?.[0], evil).toBe(`'${evil}`);
    expect(csvText([[-1.5, 'a=b', 'O’Hare - Ash']])).toBe('-1.5,a=b,O’Hare - Ash\r\n');
  });
});
