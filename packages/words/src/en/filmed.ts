/** Beside a clip that a camera took from a screen. */
export const FILMED_NOTE = 'filmed from a screen';

/** What is said of it to its sender. */
export const FILMED_SAYS =
  'Filmed or photographed from a screen: readers are told. Ratios such as LA:Ao and FS can be measured on it and are marked; sizes in mm only after two known distances in different directions agree.';

const WANTS: Record<'two-distances' | 'one-more' | 'other-direction' | 'they-differ', string> = {
  'two-distances': 'None is given yet: begin with the marks of the depth scale, far apart.',
  'one-more': 'One is given: give another one across it, such as the width of a known frame.',
  'other-direction': 'Those given point the same way: give one across them.',
  'they-differ':
    'Those given differ by more than 5 %: the camera was held at a slant, or a distance is wrong. No millimetre is given.',
};

/** What is still wanted before a size in mm on a filmed screen; empty when nothing is. */
export function sayFilmedWants(wants: keyof typeof WANTS | null): string {
  return wants === null ? '' : WANTS[wants];
}

/** The line of a paper: clips by their numbers, in order. `sayFilmedClips([3])` begins with 'Clip 3 was filmed'. */
export function sayFilmedClips(numbers: readonly number[]): string {
  if (numbers.length === 0) return '';
  const [last, ...before] = [...numbers].reverse();
  const list =
    before.length === 0 ? `Clip ${last} was` : `Clips ${before.reverse().join(', ')} and ${last} were`;
  return `${list} filmed or photographed from a screen: ratios measured there are less exact, and sizes in mm rest on two distances that were checked.`;
}
