export interface DrawnLabel {
  /** Left end of the words' base line, in pixels of the tile. */
  readonly x: number;
  readonly y: number;
  readonly text: string;
}

/** Height of a line, and the mean width of a sign, of what is written beside a caliper. */
const LINE_PX = 15;
const SIGN_PX = 7;

const covers = (a: DrawnLabel, b: DrawnLabel): boolean =>
  Math.abs(a.y - b.y) < LINE_PX && a.x < b.x + b.text.length * SIGN_PX && b.x < a.x + a.text.length * SIGN_PX;

/** Labels in their order, each moved down or up by whole lines, as little as it takes, until it lies over none before it. */
export function placeLabels(labels: readonly DrawnLabel[]): DrawnLabel[] {
  const placed: DrawnLabel[] = [];
  for (const label of labels) {
    const tries = Array.from({ length: 2 * placed.length + 1 }, (_, n) =>
      n % 2 === 0 ? -n / 2 : (n + 1) / 2,
    );
    const free = tries
      .map((lines) => ({ ...label, y: label.y + lines * LINE_PX }))
      .find((at) => !placed.some((other) => covers(at, other)));
    placed.push(free ?? label);
  }
  return placed;
}
