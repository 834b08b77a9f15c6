import { Dialog } from '../../kit/dialog';
import type { DeskActionId, DeskKeys, KeyGroup } from './desk-keys';
import { DESK_ACTIONS, showKey } from './desk-keys';

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
  ['picture', 'space and drag', 'move the picture; the middle button does the same, the wheel enlarges'],
  ['measuring', 'arrows', 'move the taken point, or the cross, by one pixel; with shift by ten'],
  ['measuring', 'Ctrl Z', 'back; with shift forth'],
  ['panel', 'N D', 'on a structure of the opinion: not seen, described'],
  ['panel', 'Ctrl Enter', 'in the opinion: sign'],
  ['panel', 'Esc', 'in a text: back to the keys of the desk'],
];

/** Every key of the desk, from the one table. */
export function KeysOverlay({ keys, onClose }: { keys: DeskKeys; onClose: () => void }) {
  const actions = Object.entries(DESK_ACTIONS) as [DeskActionId, (typeof DESK_ACTIONS)[DeskActionId]][];
  return (
    <Dialog title="Keys" onClose={onClose} wide>
      <div className="keys-list">
        {GROUPS.map(([group, name]) => (
          <section key={group} aria-label={name}>
            <h3>{name}</h3>
            <dl>
              {actions
                .filter(([, a]) => a.group === group)
                .map(([id, a]) => (
                  <Line key={id} shown={showKey(keys[id])} does={a.does} />
                ))}
              {FIXED.filter(([g]) => g === group).map(([, shown, does]) => (
                <Line key={shown} shown={shown} does={does} />
              ))}
            </dl>
          </section>
        ))}
      </div>
    </Dialog>
  );
}

function Line({ shown, does }: { shown: string; does: string }) {
  return (
    <div className="fact">
      <dt>
        <kbd className="key">{shown}</kbd>
      </dt>
      <dd>{does}</dd>
    </div>
  );
}
