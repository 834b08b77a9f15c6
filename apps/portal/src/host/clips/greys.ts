/** How the greys of a picture are shown; colours of flow are never touched. */
export interface Greys {
  /** Added to every grey, −1 to 1; 0 leaves them. */
  readonly gain: number;
  /** Spread of the greys round their middle, 0.25 to 4; 1 leaves them. */
  readonly contrast: number;
  readonly inverted: boolean;
}

export const PLAIN_GREYS: Greys = { gain: 0, contrast: 1, inverted: false };

export function isPlain(greys: Greys): boolean {
  return greys.gain === 0 && greys.contrast === 1 && !greys.inverted;
}

/** Beyond this difference between its channels a pixel is a colour: noise of JPEG stays below, colours of flow lie far above. */
const COLOUR_FROM = 24;

/** The new grey of each grey, 256 entries. */
export function greyTable({ gain, contrast, inverted }: Greys): Uint8ClampedArray {
  const table = new Uint8ClampedArray(256);
  for (let v = 0; v < 256; v += 1) {
    const shown = ((v / 255 - 0.5) * contrast + 0.5 + gain) * 255;
    table[v] = inverted ? 255 - shown : shown;
  }
  return table;
}

/** Changes the grey pixels of a picture in place (red, green, blue, alpha); coloured ones keep their colour. */
export function adjustGreys(rgba: Uint8ClampedArray, table: Uint8ClampedArray): void {
  for (let at = 0; at < rgba.length; at += 4) {
    const r = rgba[at] as number;
    const g = rgba[at + 1] as number;
    const b = rgba[at + 2] as number;
    const most = r > g ? (r > b ? r : b) : g > b ? g : b;
    const least = r < g ? (r < b ? r : b) : g < b ? g : b;
    if (most - least >= COLOUR_FROM) continue;
    rgba[at] = table[r] as number;
    rgba[at + 1] = table[g] as number;
    rgba[at + 2] = table[b] as number;
  }
}
