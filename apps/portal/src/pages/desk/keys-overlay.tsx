import { Dialog } from '../../kit/dialog';

export const KEYS: readonly (readonly [string, string])[] = [
  ['space', 'play or hold all clips'],
  ['← →', 'one frame back or on, in the chosen tile'],
  ['1 2 3 4', 'choose a tile'],
  ['L', 'measure a length on the chosen tile'],
  ['arrows', 'while a length stands: move its end by one pixel; with shift by ten'],
  ['M', 'while a length stands: choose what was measured'],
  ['Enter', 'keep the length as a measurement'],
  ['Esc', 'while a length stands: let it go'],
  ['+ − 0', 'larger, smaller, whole picture'],
  ['C N O', 'case, numbers, opinion; O goes into the conclusion'],
  ['T', 'take the referral'],
  ['I', 'interim answer'],
  ['N D', 'on a structure of the opinion: not seen, described'],
  ['Ctrl Enter', 'in the opinion: sign'],
  ['Esc', 'in a text: back to the keys of the desk'],
  ['?', 'this list'],
];

export function KeysOverlay({ onClose }: { onClose: () => void }) {
  return (
    <Dialog title="Keys" onClose={onClose}>
      <dl className="facts">
        {KEYS.map(([key, does]) => (
          <div key={does} className="fact">
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
