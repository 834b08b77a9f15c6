import { decodeWithEscapes } from './iso-2022';

/** Specific Character Set (0008,0005): defined terms of PS3.3 C.12.1.1.2 to WHATWG encoding labels. */
const labels = new Map<string, string>([
  ['', 'windows-1252'],
  ['ISO_IR 6', 'windows-1252'],
  ['ISO_IR 100', 'windows-1252'],
  ['ISO_IR 101', 'iso-8859-2'],
  ['ISO_IR 109', 'iso-8859-3'],
  ['ISO_IR 110', 'iso-8859-4'],
  ['ISO_IR 144', 'iso-8859-5'],
  ['ISO_IR 127', 'iso-8859-6'],
  ['ISO_IR 126', 'iso-8859-7'],
  ['ISO_IR 138', 'iso-8859-8'],
  ['ISO_IR 148', 'windows-1254'],
  ['ISO_IR 203', 'iso-8859-15'],
  ['ISO_IR 13', 'shift_jis'],
  ['ISO_IR 166', 'windows-874'],
  ['ISO_IR 192', 'utf-8'],
  ['ISO_IR 87', 'iso-2022-jp'],
  ['ISO_IR 159', 'iso-2022-jp'],
  ['ISO_IR 149', 'euc-kr'],
  ['ISO_IR 58', 'gb18030'],
  ['GB18030', 'gb18030'],
  ['GBK', 'gbk'],
]);

function labelOf(term: string): string | undefined {
  return labels.get(
    term
      .trim()
      .toUpperCase()
      .replace(/^ISO[ _]2022[ _]IR[ _]/, 'ISO_IR ')
      .replace(/^ISO IR /, 'ISO_IR '),
  );
}

/** Text of an element's bytes under the terms of the character set attribute ('' or several, separated by a backslash). */
export function decodeText(bytes: Uint8Array, characterSet: string): string {
  const terms = characterSet.split('\\');
  const first = labelOf(terms[0] ?? '') ?? 'windows-1252';
  if (bytes.includes(0x1b)) return tidy(decodeWithEscapes(bytes, halfOf(first)));
  if (bytes.every((byte) => byte < 0x80)) return tidy(new TextDecoder('windows-1252').decode(bytes));
  if (characterSet.trim() === '') {
    // Nothing is said: most writers of our day mean UTF-8, older ones Latin letters.
    try {
      return tidy(new TextDecoder('utf-8', { fatal: true }).decode(bytes));
    } catch {
      return tidy(new TextDecoder('windows-1252').decode(bytes));
    }
  }
  // Upper bytes without an escape sequence: of the first set by the standard, of the second where the first has none.
  const alone = (terms[0] ?? '').trim() === '' ? terms.slice(1).map(labelOf).find(Boolean) : undefined;
  return tidy(new TextDecoder(halfOf(alone ?? first)).decode(bytes));
}

/** ISO-2022-JP has no upper half of its own. */
function halfOf(label: string): string {
  return label === 'iso-2022-jp' ? 'shift_jis' : label;
}

function tidy(text: string): string {
  // Padding of PS3.5 6.2 (space, NUL) and control characters that have no place in a name.
  return Array.from(text)
    .filter((letter) => letter >= ' ' && letter !== '\u007f')
    .join('')
    .trim();
}

/** A person name as it is read aloud: the first filled component group, carets as spaces. */
export function personName(text: string): string {
  const group = text.split('=').find((part) => part.replaceAll('^', '').trim() !== '') ?? '';
  return group
    .split('^')
    .map((part) => part.trim())
    .filter((part) => part !== '')
    .join(' ');
}
