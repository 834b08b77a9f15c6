/** One picture as brightness only: one byte a pixel, row by row from the top left. */
export interface GrayFrame {
  readonly widthPx: number;
  readonly heightPx: number;
  /** widthPx × heightPx bytes; luma, 0 black to 255 white. */
  readonly luma: Uint8Array;
}
