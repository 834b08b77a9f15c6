/** Time from beat to beat in ms at a heart rate per minute. `beatMs(160)` is 375. Not above 0: NaN. */
export function beatMs(ratePerMin: number): number {
  return ratePerMin > 0 ? 60_000 / ratePerMin : Number.NaN;
}

/** Frames in one beat at a picture rate per second. `framesPerBeat(200, 30)` is 9. */
export function framesPerBeat(ratePerMin: number, framesPerSecond: number): number {
  return ratePerMin > 0 ? (framesPerSecond * 60) / ratePerMin : Number.NaN;
}
