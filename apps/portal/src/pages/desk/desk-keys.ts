/** Actions of the desk and their keys: one table for what listens, what is shown beside a button, and the list of keys. */

export type KeyGroup = 'clips' | 'picture' | 'measuring' | 'tools' | 'panel';

export interface DeskAction {
  readonly group: KeyGroup;
  /** As `keyOf` writes it. */
  readonly key: string;
  readonly does: string;
}

const action = (group: KeyGroup, key: string, does: string): DeskAction => ({ group, key, does });

export const DESK_ACTIONS = {
  'play-or-hold': action('clips', 'space', 'play or hold all clips'),
  'frame-back': action('clips', 'arrowleft', 'one frame back in the chosen tile'),
  'frame-on': action('clips', 'arrowright', 'one frame on in the chosen tile'),
  'frame-back-always': action('clips', ',', 'one frame back, also while something is drawn'),
  'frame-on-always': action('clips', '.', 'one frame on, also while something is drawn'),
  'phase-mode': action('clips', 'shift+l', 'loops: beats together, stretched to one beat, free'),
  'more-tiles': action('clips', 'pagedown', 'more tiles'),
  'fewer-tiles': action('clips', 'pageup', 'fewer tiles'),
  'mark-end-diastole': action('clips', 'e', 'mark or unmark the held frame as end-diastole'),
  'mark-end-systole': action('clips', 's', 'mark or unmark the held frame as end-systole'),
  'to-end-diastole': action('clips', 'shift+e', 'to the next end-diastole, marked or suggested'),
  'to-end-systole': action('clips', 'shift+s', 'to the next end-systole, marked or suggested'),
  'earlier-beside': action('clips', 'shift+b', "an earlier scan's same view in the next tile"),
  example: action('clips', 'shift+x', 'a drawn example of this view in the next tile'),
  larger: action('picture', '+', 'larger'),
  smaller: action('picture', '-', 'smaller'),
  'whole-picture': action('picture', '0', 'whole picture'),
  'pan-left': action('picture', 'shift+arrowleft', 'move the picture left, while nothing is drawn'),
  'pan-right': action('picture', 'shift+arrowright', 'move the picture right, while nothing is drawn'),
  'pan-up': action('picture', 'shift+arrowup', 'move the picture up, while nothing is drawn'),
  'pan-down': action('picture', 'shift+arrowdown', 'move the picture down, while nothing is drawn'),
  greys: action('picture', 'shift+g', 'gain, contrast and inversion of the greys'),
  invert: action('picture', 'shift+k', 'invert the greys; colours of flow stay'),
  'next-wanted': action('measuring', 'g', 'go on to the next measurement that the question wants'),
  'measured-as': action('measuring', 'm', 'choose what was measured'),
  keep: action('measuring', 'enter', 'end a line; keep what is drawn as a measurement'),
  'let-go': action('measuring', 'escape', 'let go of what is drawn'),
  'next-point': action('measuring', 'tab', 'take the next point of what is drawn'),
  'point-before': action('measuring', 'shift+tab', 'take the point before'),
  'put-point': action('measuring', 'x', 'put a point at the cross; shows the cross first'),
  undo: action('measuring', 'u', 'take back the last step of drawing'),
  redo: action('measuring', 'r', 'and forth again'),
  'tool-length': action('tools', 'l', 'length'),
  'tool-pair': action('tools', 'a', 'left atrium and aorta, two lengths'),
  'tool-lv-set': action('tools', 'w', 'walls and cavity, six lengths along a line'),
  'tool-angle': action('tools', 'k', 'angle'),
  'tool-outline': action('tools', 'f', 'outline: area and circumference'),
  'tool-ellipse': action('tools', 'y', 'ellipse'),
  'tool-discs': action('tools', 'v', 'volume by discs'),
  'tool-discs-two': action('tools', 'shift+v', 'volume by discs in two planes'),
  'tool-time': action('tools', 'h', 'time, and rate as one beat'),
  'tool-slope': action('tools', 'j', 'slope, and pressure half-time in Doppler'),
  'tool-velocity': action('tools', 'p', 'a point on a Doppler curve'),
  'tool-trace': action('tools', 'b', 'trace of a flow: VTI, peak, mean gradient'),
  'tool-calibration': action('tools', 'd', 'scale by two points of a known distance'),
  'tool-cavity': action('tools', 'z', 'correct the outline of a short axis'),
  'judge-view': action('panel', 'shift+j', 'judge the view of the chosen clip'),
  'key-frame': action('panel', 'shift+f', 'this frame, with what is drawn on it, into the opinion'),
  'technique-frame': action('panel', 'shift+n', 'this frame to the note on how the clip was scanned'),
  'tab-case': action('panel', 'c', 'case'),
  'tab-numbers': action('panel', 'n', 'numbers'),
  'tab-opinion': action('panel', 'o', 'opinion, into the conclusion'),
  'tab-questions': action('panel', 'q', 'questions between practice and readers, into the answer'),
  take: action('panel', 't', 'take the referral'),
  interim: action('panel', 'i', 'interim answer'),
  rescan: action('panel', 'shift+r', 'ask for a rescan'),
  'hand-over': action('panel', 'shift+h', 'hand over to another reader'),
  'put-back': action('panel', 'shift+p', 'put back into the queue'),
  'keys-list': action('panel', '?', 'this list'),
} as const satisfies Record<string, DeskAction>;

export type DeskActionId = keyof typeof DESK_ACTIONS;
export type DeskKeys = Readonly<Record<DeskActionId, string>>;

const IDS = Object.keys(DESK_ACTIONS) as DeskActionId[];

/** The keys that hold: the table's, changed by what a person set. What is not of the table is left out. */
export function keysWith(own: Readonly<Record<string, string>> = {}): DeskKeys {
  return Object.fromEntries(IDS.map((id) => [id, own[id] ?? DESK_ACTIONS[id].key])) as Record<
    DeskActionId,
    string
  >;
}

export const DEFAULT_KEYS = keysWith();

/** Keys that two actions would share, with those actions: such a set of keys cannot be used. */
export function clashesOf(
  keys: DeskKeys,
): readonly { readonly key: string; readonly actions: DeskActionId[] }[] {
  const users = new Map<string, DeskActionId[]>();
  for (const id of IDS) users.set(keys[id], [...(users.get(keys[id]) ?? []), id]);
  return [...users].filter(([, actions]) => actions.length > 1).map(([key, actions]) => ({ key, actions }));
}

type Pressed = Pick<KeyboardEvent, 'key' | 'shiftKey'>;

/** A pressed key as the table writes it: small letters, `shift+` only before letters and named keys, since signs need it anyhow. */
export function keyOf(event: Pressed): string {
  const key = event.key === ' ' ? 'space' : event.key.toLowerCase();
  const named = key.length > 1 || /^\p{L}$/u.test(key);
  return event.shiftKey && named ? `shift+${key}` : key;
}

export function actionOf(event: Pressed, keys: DeskKeys): DeskActionId | null {
  const key = keyOf(event);
  return IDS.find((id) => keys[id] === key) ?? null;
}

const SHOWN: Record<string, string> = {
  space: 'space',
  arrowleft: '←',
  arrowright: '→',
  arrowup: '↑',
  arrowdown: '↓',
  enter: 'Enter',
  escape: 'Esc',
  tab: 'Tab',
  pageup: 'Page up',
  pagedown: 'Page down',
  '-': '−',
};

/** `showKey('shift+arrowleft')` is 'shift ←'. */
export function showKey(key: string): string {
  const shifted = key.startsWith('shift+');
  const plain = shifted ? key.slice(6) : key;
  const text = SHOWN[plain] ?? (plain.length === 1 ? plain.toUpperCase() : plain);
  return shifted ? `shift ${text}` : text;
}
