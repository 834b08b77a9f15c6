/** Letters of 5 by 7 dots, own drawing: seven rows each, a bit a dot, the leftmost being 16. */
const letters: Readonly<Record<string, readonly number[]>> = {
  A: [14, 17, 17, 31, 17, 17, 17],
  B: [30, 17, 17, 30, 17, 17, 30],
  C: [14, 17, 16, 16, 16, 17, 14],
  D: [30, 17, 17, 17, 17, 17, 30],
  E: [31, 16, 16, 30, 16, 16, 31],
  F: [31, 16, 16, 30, 16, 16, 16],
  G: [14, 17, 16, 23, 17, 17, 14],
  H: [17, 17, 17, 31, 17, 17, 17],
  I: [14, 4, 4, 4, 4, 4, 14],
  J: [7, 2, 2, 2, 2, 18, 12],
  K: [17, 18, 20, 24, 20, 18, 17],
  L: [16, 16, 16, 16, 16, 16, 31],
  M: [17, 27, 21, 21, 17, 17, 17],
  N: [17, 25, 21, 19, 17, 17, 17],
  O: [14, 17, 17, 17, 17, 17, 14],
  P: [30, 17, 17, 30, 16, 16, 16],
  Q: [14, 17, 17, 17, 21, 18, 13],
  R: [30, 17, 17, 30, 20, 18, 17],
  S: [15, 16, 16, 14, 1, 1, 30],
  T: [31, 4, 4, 4, 4, 4, 4],
  U: [17, 17, 17, 17, 17, 17, 14],
  V: [17, 17, 17, 17, 17, 10, 4],
  W: [17, 17, 17, 21, 21, 27, 17],
  X: [17, 17, 10, 4, 10, 17, 17],
  Y: [17, 17, 10, 4, 4, 4, 4],
  Z: [31, 1, 2, 4, 8, 16, 31],
  '0': [14, 17, 19, 21, 25, 17, 14],
  '1': [4, 12, 4, 4, 4, 4, 14],
  '2': [14, 17, 1, 6, 8, 16, 31],
  '3': [30, 1, 1, 14, 1, 1, 30],
  '4': [2, 6, 10, 18, 31, 2, 2],
  '5': [31, 16, 30, 1, 1, 17, 14],
  '6': [14, 16, 16, 30, 17, 17, 14],
  '7': [31, 1, 2, 4, 8, 8, 8],
  '8': [14, 17, 17, 14, 17, 17, 14],
  '9': [14, 17, 17, 15, 1, 1, 14],
  '.': [0, 0, 0, 0, 0, 12, 12],
  ',': [0, 0, 0, 0, 12, 4, 8],
  ':': [0, 12, 12, 0, 12, 12, 0],
  '-': [0, 0, 0, 31, 0, 0, 0],
  '/': [1, 1, 2, 4, 8, 16, 16],
};

/** Writes text into a picture of luma, each dot `scale` pixels wide; letters it does not know stay blank. */
export function drawText(
  luma: Uint8Array,
  widthPx: number,
  x: number,
  y: number,
  text: string,
  scale: number,
  level: number,
): void {
  Array.from(text.toUpperCase()).forEach((letter, n) => {
    const rows = letters[letter] ?? [];
    rows.forEach((row, down) => {
      for (let right = 0; right < 5; right += 1)
        if ((row & (16 >> right)) !== 0)
          fillBox(luma, widthPx, x + (6 * n + right) * scale, y + down * scale, scale, scale, level);
    });
  });
}

export function fillBox(
  luma: Uint8Array,
  widthPx: number,
  x: number,
  y: number,
  width: number,
  height: number,
  level: number,
): void {
  for (let row = Math.max(0, y); row < y + height; row += 1)
    for (let column = Math.max(0, x); column < Math.min(widthPx, x + width); column += 1) {
      const at = row * widthPx + column;
      if (at < luma.length) luma[at] = level;
    }
}
