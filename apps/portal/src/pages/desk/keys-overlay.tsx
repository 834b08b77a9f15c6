import { Dialog } from '../../kit/dialog';

export const KEYS: readonly (readonly [string, string])[] = [
  ['space', 'play or hold all clips'],
  ['← →', 'one frame back or on, in the chosen tile'],
  ['1 2 3 4', 'choose a tile'],
  ['L', 'measure a length on the chosen tile'],
  ['arrows', 'while a length stands: move its end by one pixel; with shift by ten'],
  ['M', 'while a length stands: choose what was measured'],
  ['Enter', 'keep the length as a measurement'],
  ['Esc', 'let a length go'],
  ['+ − 0', 'larger, smaller, whole picture'],
  ['?', 'this list'],
];

export function KeysOverlay({ onClose }: { onClose: () => void }) {
  return (
    <Dialog title="Keys" onClose={onClose}>
      <dl className="facts">
        {KEYS.map(([key, does]) => (
          <div key={key} className="fact">
            <dt>
              <kbd className="key">{key}</kbd>
            </dt>
            <dd>{does}</dd>
          </div>
        ))}
      </dl>
    </Dialog>
  );
}
