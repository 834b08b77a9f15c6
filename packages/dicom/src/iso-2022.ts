/**
 * Code extensions of ISO/IEC 2022 as PS3.3 C.12.1.1.2 and PS3.5 6.1.2.5 use them: escape sequences put other letters into
 * the lower half (G0, bytes below 80) or the upper half (G1) of the code table, until the next one or a delimiter.
 */
interface LetterSet {
  readonly half: 'G0' | 'G1';
  /** WHATWG label of an encoding that has these letters. */
  readonly label: string;
  /** What is done to a run of bytes before that encoding reads them. */
  readonly recode: (run: Uint8Array) => Uint8Array;
}

const asTheyAre = (run: Uint8Array): Uint8Array => run;
const upperHalf = (run: Uint8Array): Uint8Array => run.map((byte) => byte | 0x80);
/** JIS X 0212 in EUC-JP: each pair behind a byte 8F. */
function supplementary(run: Uint8Array): Uint8Array {
  const out: number[] = [];
  for (let at = 0; at + 1 < run.length; at += 2)
    out.push(0x8f, (run[at] ?? 0) | 0x80, (run[at + 1] ?? 0) | 0x80);
  return Uint8Array.from(out);
}

const upper = (label: string): LetterSet => ({ half: 'G1', label, recode: asTheyAre });

/** Escape sequences, without ESC, by PS3.3 tables C.12-3 and C.12-4. */
const sequences = new Map<string, LetterSet>([
  ['(B', { half: 'G0', label: 'windows-1252', recode: asTheyAre }],
  ['(J', { half: 'G0', label: 'windows-1252', recode: asTheyAre }],
  ['-A', upper('windows-1252')],
  ['-B', upper('iso-8859-2')],
  ['-C', upper('iso-8859-3')],
  ['-D', upper('iso-8859-4')],
  ['-L', upper('iso-8859-5')],
  ['-G', upper('iso-8859-6')],
  ['-F', upper('iso-8859-7')],
  ['-H', upper('iso-8859-8')],
  ['-M', upper('windows-1254')],
  ['-b', upper('iso-8859-15')],
  ['-T', upper('windows-874')],
  [')I', upper('shift_jis')],
  ['$B', { half: 'G0', label: 'euc-jp', recode: upperHalf }],
  ['$@', { half: 'G0', label: 'euc-jp', recode: upperHalf }],
  ['$(D', { half: 'G0', label: 'euc-jp', recode: supplementary }],
  ['$)C', upper('euc-kr')],
  ['$)A', upper('gb18030')],
]);

const plain: LetterSet = { half: 'G0', label: 'windows-1252', recode: asTheyAre };
/** After these the sets of the start count again (PS3.5 6.1.2.5.3): control characters, and between values and parts of a name. */
const delimiters = new Set([0x09, 0x0a, 0x0c, 0x0d, 0x5c, 0x5e, 0x3d]);

/**
 * Text with escape sequences in it. `firstUpper` is the encoding of the upper half at the start: that of the first of the
 * character sets. An escape sequence that is not listed is left out, and changes nothing.
 */
export function decodeWithEscapes(bytes: Uint8Array, firstUpper: string): string {
  const start = { G0: plain, G1: upper(firstUpper) };
  let sets = { ...start };
  let text = '';
  let run: number[] = [];
  let runHalf: 'G0' | 'G1' = 'G0';
  const flush = (): void => {
    if (run.length === 0) return;
    const { label, recode } = sets[runHalf];
    text += new TextDecoder(label).decode(recode(Uint8Array.from(run)));
    run = [];
  };
  for (let at = 0; at < bytes.length; at += 1) {
    const byte = bytes[at] ?? 0;
    if (byte === 0x1b) {
      flush();
      const end = endOfEscape(bytes, at + 1);
      const found = sequences.get(String.fromCharCode(...bytes.subarray(at + 1, end)));
      if (found !== undefined) sets = { ...sets, [found.half]: found };
      at = end - 1;
      continue;
    }
    // A two-byte set in the lower half takes bytes that would else be delimiters, never those that end a line.
    const delimits = delimiters.has(byte) && (byte < 0x20 || sets.G0.recode === asTheyAre);
    const half = byte < 0x80 ? 'G0' : 'G1';
    if (delimits || half !== runHalf) flush();
    runHalf = half;
    run.push(byte);
    if (delimits) {
      flush();
      sets = { ...start };
    }
  }
  flush();
  return text;
}

/** Intermediate bytes 20 to 2F, then one final byte; '-' and the brackets are intermediate themselves. */
function endOfEscape(bytes: Uint8Array, from: number): number {
  let at = from;
  while (at < bytes.length && (bytes[at] ?? 0) >= 0x20 && (bytes[at] ?? 0) <= 0x2f) at += 1;
  return Math.min(bytes.length, at + 1);
}
