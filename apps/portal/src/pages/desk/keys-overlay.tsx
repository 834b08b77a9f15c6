import { useEffect, useState } from 'react';
import { sentenceOf } from '../../host/api';
import { Button } from '../../kit/button';
import { Dialog } from '../../kit/dialog';
import type { DeskActionId, DeskKeys, KeyGroup } from './desk-keys';
import { clashesOf, DEFAULT_KEYS, DESK_ACTIONS, keyOf, showKey } from './desk-keys';
import { useKeepKeys } from './use-own-keys';

const GROUPS: readonly (readonly [KeyGroup, string])[] = [
  ['clips', 'Clips'],
  ['picture', 'Picture'],
  ['measuring', 'Measuring'],
  ['tools', 'Tools'],
  ['panel', 'Case and opinion'],
];

/** Keys that belong to a place rather than to the desk; they stay as they are. */
const FIXED: readonly (readonly [KeyGroup, string, string])[] = [
  ['clips', '1 to 9', 'choose a tile'],
  [
    'picture',
    'space and drag',
    'move the picture; the middle button does the same, the wheel enlarges; so do two fingers',
  ],
  ['measuring', 'arrows', 'move the taken point, or the cross, by one pixel; with shift by ten'],
  ['measuring', 'Ctrl Z', 'back; with shift forth'],
  ['panel', 'N A D', 'on a structure of the opinion: not seen, accept what is proposed, described'],
  ['panel', 'Ctrl Enter', 'in the opinion: sign'],
  ['panel', 'Esc', 'in a text: back to the keys of the desk'],
];

/** What these keys hold by default and may not lose: a desk without them could not be left or undone. */
const KEPT = new Set(['escape', 'tab', 'shift+tab', 'enter']);
const IDS = Object.keys(DESK_ACTIONS) as DeskActionId[];

/** Every key of the desk, from the one table; each can be changed by pressing another. */
export function KeysOverlay({ keys, onClose }: { keys: DeskKeys; onClose: () => void }) {
  const keep = useKeepKeys();
  const [changing, setChanging] = useState<DeskActionId | null>(null);
  const [said, setSaid] = useState<string | null>(null);
  const own = Object.fromEntries(
    IDS.filter((id) => keys[id] !== DESK_ACTIONS[id].key).map((id) => [id, keys[id]]),
  );
  const change = (id: DeskActionId, key: string) => {
    setChanging(null);
    const clash = clashesOf({ ...keys, [id]: key }).find((c) => c.actions.includes(id));
    const other = clash?.actions.find((a) => a !== id);
    if (other)
      return setSaid(`${showKey(key)} is taken: ${DESK_ACTIONS[other].does}. Give that another key first.`);
    if (/^[1-9]$/.test(key)) return setSaid('The numbers choose a tile and stay.');
    setSaid(null);
    keep({ ...own, [id]: key }).catch((error: unknown) => setSaid(sentenceOf(error)));
  };
  return (
    <Dialog title="Keys" onClose={onClose} wide>
      <p className="hint">
        Press a key’s button, then the key that you would rather have. Your keys go with you to every desk.
      </p>
      {said ? (
        <p className="problem" role="alert">
          {said}
        </p>
      ) : null}
      <div className="keys-list">
        {GROUPS.map(([group, name]) => (
          <section key={group} aria-label={name}>
            <h3>{name}</h3>
            <dl>
              {IDS.filter((id) => DESK_ACTIONS[id].group === group).map((id) => (
                <div key={id} className="keys-line">
                  <dt>
                    {KEPT.has(DESK_ACTIONS[id].key) ? (
                      <kbd className="key">{showKey(keys[id])}</kbd>
                    ) : (
                      <ChangeKey
                        shown={showKey(keys[id])}
                        does={DESK_ACTIONS[id].does}
                        own={keys[id] !== DEFAULT_KEYS[id]}
                        changing={changing === id}
                        onBegin={() => {
                          setSaid(null);
                          setChanging(id);
                        }}
                        onKey={(key) => change(id, key)}
                        onEnd={() => setChanging(null)}
                      />
                    )}
                  </dt>
                  <dd>{DESK_ACTIONS[id].does}</dd>
                </div>
              ))}
              {FIXED.filter(([g]) => g === group).map(([, shown, does]) => (
                <div key={shown} className="keys-line">
                  <dt>
                    <kbd className="key">{shown}</kbd>
                  </dt>
                  <dd>{does}</dd>
                </div>
              ))}
            </dl>
          </section>
        ))}
      </div>
      {Object.keys(own).length > 0 ? (
        <p className="row">
          <Button look="quiet" onClick={() => void keep({}).catch((e: unknown) => setSaid(sentenceOf(e)))}>
            All keys as they were
          </Button>
        </p>
      ) : null}
    </Dialog>
  );
}

/** A key as a button; while it is being changed the next key pressed is taken, and Escape leaves it as it was. */
function ChangeKey({
  shown,
  does,
  own,
  changing,
  onBegin,
  onKey,
  onEnd,
}: {
  shown: string;
  does: string;
  own: boolean;
  changing: boolean;
  onBegin: () => void;
  onKey: (key: string) => void;
  onEnd: () => void;
}) {
  useEffect(() => {
    if (!changing) return undefined;
    const onDown = (event: KeyboardEvent) => {
      if (['Shift', 'Control', 'Alt', 'Meta'].includes(event.key)) return;
      event.preventDefault();
      event.stopPropagation();
      const key = keyOf(event);
      if (KEPT.has(key) || event.ctrlKey || event.metaKey || event.altKey) onEnd();
      else onKey(key);
    };
    // Before the dialog, whose Escape would close it.
    window.addEventListener('keydown', onDown, { capture: true });
    return () => window.removeEventListener('keydown', onDown, { capture: true });
  }, [changing]);
  return (
    <button
      type="button"
      className={own ? 'key key-change key-own' : 'key key-change'}
      aria-label={changing ? `Press the key for: ${does}` : `${shown}: ${does}. Change this key`}
      aria-pressed={changing}
      onClick={changing ? onEnd : onBegin}
      onBlur={changing ? onEnd : undefined}
    >
      {changing ? 'press …' : shown}
    </button>
  );
}
