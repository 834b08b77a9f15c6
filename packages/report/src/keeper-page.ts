/** What a plain page for the keeper is made from. Times and days come as words. */
export interface KeeperPageInput {
  readonly patientName: string;
  /** The vet's own text; a line that begins with '- ' is a point of a list, an empty line ends a paragraph. */
  readonly text: string;
  readonly practice: { readonly name: string; readonly phone: string };
  /** Set once a vet of the practice let it go. */
  readonly released: { readonly by: string; readonly on: string } | null;
  /** Day of an addendum that was signed after the page was released. */
  readonly addedOn: string | null;
  readonly demo: boolean;
}

/** One part of the keeper's page. No number of an index, no limit, no abbreviation comes from here. */
export type KeeperBlock =
  | { readonly kind: 'practice'; readonly name: string; readonly phone: string }
  | { readonly kind: 'title'; readonly text: string }
  | { readonly kind: 'mark'; readonly text: string }
  | { readonly kind: 'paragraph'; readonly text: string }
  | { readonly kind: 'points'; readonly points: readonly string[] }
  | { readonly kind: 'call'; readonly text: string }
  | { readonly kind: 'foot'; readonly lines: readonly string[] };

export const NOT_RELEASED = 'Not released by the practice yet';

/** The page for the keeper: who to call stands first and last, and nothing on it was computed. */
export function keeperPageModel(input: KeeperPageInput): KeeperBlock[] {
  const { practice } = input;
  const phone = practice.phone.trim();
  const blocks: KeeperBlock[] = [
    { kind: 'practice', name: practice.name, phone },
    { kind: 'title', text: `For the keeper of ${input.patientName}` },
  ];
  if (!input.released) blocks.push({ kind: 'mark', text: NOT_RELEASED });
  if (input.addedOn)
    blocks.push({
      kind: 'mark',
      text: `Something was added to the opinion on ${input.addedOn}, after this page was released. Ask the practice what it changes.`,
    });
  blocks.push(...keeperParts(input.text));
  blocks.push({
    kind: 'call',
    text: phone === '' ? `Questions: ask ${practice.name}.` : `Questions: call ${practice.name}, ${phone}.`,
  });
  const foot = [
    ...(input.released
      ? [`Released by ${input.released.by}, ${practice.name}, on ${input.released.on}.`]
      : []),
    'This page does not replace the vet who knows your animal. Give medicines only as your vet has told you.',
    ...(input.demo ? ['Invented demonstration: no real person, clinic or animal.'] : []),
  ];
  blocks.push({ kind: 'foot', lines: foot });
  return blocks;
}

/**
 * Paragraphs and lists of a plain text: `keeperParts('Rest.\n- Count\n- Call')` is a paragraph and a list of two points.
 */
export function keeperParts(text: string): KeeperBlock[] {
  const blocks: KeeperBlock[] = [];
  let lines: string[] = [];
  let points: string[] = [];
  const end = () => {
    if (lines.length > 0) blocks.push({ kind: 'paragraph', text: lines.join(' ') });
    if (points.length > 0) blocks.push({ kind: 'points', points });
    lines = [];
    points = [];
  };
  for (const raw of text.split(/\r\n?|\n/)) {
    const line = raw.trim();
    const point = /^[-–•]\s+(.*)$/.exec(line)?.[1];
    if (point !== undefined) {
      if (lines.length > 0) end();
      points.push(point);
    } else {
      if (line === '' || points.length > 0) end();
      if (line !== '') lines.push(line);
    }
  }
  end();
  return blocks;
}
