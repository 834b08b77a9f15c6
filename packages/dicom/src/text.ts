/**
 * Specific Character Set (0008,0005): defined terms of PS3.3 C.12.1.1.2 to WHATWG encoding labels.
 * The multi-byte ISO 2022 sets are read with their escape sequences taken off (IR 149, 58) or by a decoder that knows them (IR 87, 159).
 */
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

/** Escape sequences of ISO 2022 as code extensions use them: ESC, intermediates 0x20-0x2f, one final byte. */
function withoutEscapes(bytes: Uint8Array): Uint8Array {
  const out: number[] = [];
  for (let at = 0; at < bytes.length; at += 1) {
    if (bytes[at] !== 0x1b) {
      out.push(bytes[at] ?? 0);
      continue;
    }
    at += 1;
    while (at < bytes.length && (bytes[at] ?? 0) >= 0x20 && (bytes[at] ?? 0) <= 0x2f) at += 1;
  }
  return Uint8Array.from(out);
}

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
  const wanted =
    terms.length > 1
      ? (terms.find((term, n) => n > 0 && labelOf(term) !== undefined) ?? '')
      : (terms[0] ?? '');
  const plain = bytes.every((byte) => byte < 0x80 && byte !== 0x1b);
  const label = plain ? 'windows-1252' : (labelOf(wanted) ?? 'windows-1252');
  if (label === 'iso-2022-jp') return tidy(new TextDecoder(label).decode(bytes));
  const stripped = withoutEscapes(bytes);
  if (characterSet.trim() === '' && !plain) {
    try {
      return tidy(new TextDecoder('utf-8', { fatal: true }).decode(stripped));
    } catch {
      return tidy(new TextDecoder('windows-1252').decode(stripped));
    }
  }
  return tidy(new TextDecoder(label).decode(stripped));
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
