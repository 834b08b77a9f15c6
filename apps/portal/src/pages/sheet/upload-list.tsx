import { formatBytes, formatTimeLeft } from '@chordae/words';
import type { ReactNode } from 'react';
import type { UploadItem } from '../../host/uploads/upload-state';
import { secondsLeft } from '../../host/uploads/upload-state';
import { uploads } from '../../host/uploads/uploads';
import { Button } from '../../kit/button';

const WORDS: Record<UploadItem['state'], string> = {
  checking: 'being looked at',
  known: 'already here',
  refused: 'not sent',
  waiting: 'waits for its turn',
  sending: 'on its way',
  paused: 'paused',
  'signed-out': 'waits for signing in',
  'file-wanted': 'pick the same file again to go on',
  failed: 'interrupted',
  done: 'arrived',
};

/** Files on their way: bytes, rate, time left; each can be paused. */
export function UploadList({
  items,
  beside,
}: {
  items: readonly UploadItem[];
  /** What else is known of a file. */
  beside: (item: UploadItem) => ReactNode;
}) {
  const shown = items.filter((i) => i.state !== 'done');
  if (shown.length === 0) return null;
  return (
    <ul className="uploads" aria-label="Files on their way">
      {shown.map((item) => (
        <Item key={item.arrivalId} item={item}>
          {beside(item)}
        </Item>
      ))}
    </ul>
  );
}

function Item({ item, children }: { item: UploadItem; children: ReactNode }) {
  const left = secondsLeft(item);
  const moving = item.state === 'sending' || item.state === 'paused';
  return (
    <li className={`upload upload-${item.state}`}>
      <p className="upload-name">
        <b>{item.fileName}</b> <span className="hint">{WORDS[item.state]}</span>
      </p>
      {moving ? (
        <progress max={item.sizeBytes} value={item.sentBytes} aria-label={`${item.fileName}: sent`} />
      ) : null}
      {item.says ? <p className={item.state === 'refused' ? 'problem' : 'hint'}>{item.says}</p> : null}
      {children}
      <p className="row hint">
        <span className="numbers">
          {moving ? `${formatBytes(item.sentBytes)} of ` : ''}
          {formatBytes(item.sizeBytes)}
          {item.bytesPerSecond ? ` · ${formatBytes(item.bytesPerSecond)} a second` : ''}
          {item.state === 'sending' && left !== null ? ` · ${formatTimeLeft(left)}` : ''}
        </span>
        {item.state === 'sending' ? (
          <Button
            look="quiet"
            aria-label={`Pause ${item.fileName}`}
            onClick={() => uploads.pause(item.arrivalId)}
          >
            Pause
          </Button>
        ) : null}
        {item.state === 'paused' || item.state === 'failed' ? (
          <Button
            look="quiet"
            aria-label={`Go on with ${item.fileName}`}
            onClick={() => uploads.resume(item.arrivalId)}
          >
            Go on
          </Button>
        ) : null}
        {item.state === 'sending' ? null : (
          <Button
            look="quiet"
            aria-label={`Take ${item.fileName} out`}
            onClick={() => uploads.remove(item.arrivalId)}
          >
            {item.state === 'known' || item.state === 'refused' ? 'Noted' : 'Take out'}
          </Button>
        )}
      </p>
    </li>
  );
}
