import { capital, formatBytes, sayKeptCount, sayLeft, sayRoom, sayWrite } from '@chordae/words';
import { Link } from '@tanstack/react-router';
import { useEffect, useState } from 'react';
import {
  device,
  heldBack,
  type Left,
  leaving,
  useConflicts,
  useDevice,
  useLeft,
  useLine,
} from '../../host/device';
import { useMe } from '../../host/session';
import { useTitle } from '../../host/title';
import { useKeptFiles } from '../../host/uploads/use-kept-files';
import { Button } from '../../kit/button';
import { Notice } from '../../kit/notice';
import { sayMoment, Time } from '../../kit/time';
import { byCase, type CaseOnDevice } from './by-case';
import { Choices, PasswordFor, Refused } from './held-parts';

/** All that this browser keeps: what waits, what needs the person, and how much room there is. */
export function DevicePage() {
  useTitle('On this device');
  const me = useMe();
  const line = useLine();
  const { mine, others } = useDevice();
  const files = useKeptFiles();
  const conflicts = useConflicts();
  const left = useLeft(leaving);
  const signatures = mine.filter((o) => o.needsPassword && o.state === 'waiting');
  const practices = [...new Set([...mine, ...files.mine, ...conflicts].map((w) => w.practiceId))].filter(
    (id) => !left.some((l) => l.practiceId === id),
  );
  const nameOf = (id: string) => me?.organisations.find((o) => o.id === id)?.name ?? 'Another practice';
  return (
    <div className="page on-device">
      <div className="head-row">
        <h1>On this device</h1>
        {mine.length + files.mine.length > 0 ? (
          <Button onClick={() => tryNow()} disabled={!navigator.onLine}>
            Try to send now
          </Button>
        ) : null}
      </div>
      <p className="lead">
        {line === 'down' ? 'There is no network just now. ' : ''}
        {mine.length + files.mine.length === 0
          ? 'Everything that was entered here is on the server.'
          : `${capital(sayKeptCount(mine.length, files.mine.length))} of yours, kept on this device, not yet on the server. They go by themselves, in the order in which you made them.`}
      </p>
      {left.map((l) => (
        <LeftPractice key={l.practiceId} left={l} />
      ))}
      {signatures.length > 0 ? <PasswordFor signatures={signatures} /> : null}
      {practices.map((id) => (
        <section key={id} aria-labelledby={`d-${id}`}>
          <h2 id={`d-${id}`}>{nameOf(id)}</h2>
          <ul className="device-cases">
            {byCase(
              mine.filter((o) => o.practiceId === id),
              files.mine.filter((f) => f.practiceId === id),
              conflicts.filter((c) => c.practiceId === id),
            ).map((c) => (
              <OneCase key={c.key} practiceId={id} c={c} />
            ))}
          </ul>
        </section>
      ))}
      <Others changes={others} files={files.others} />
      <Room />
    </div>
  );
}

function tryNow(): void {
  device.outbox.kickAfresh();
  void leaving.settle();
}

function OneCase({ practiceId, c }: { practiceId: string; c: CaseOnDevice }) {
  const held = heldBack(c.ops);
  const refused = c.ops.filter((o) => o.state === 'refused');
  const bytes = c.files.reduce((sum, f) => sum + f.sizeBytes, 0);
  const name = c.about || 'A case';
  return (
    <li className="device-case">
      <p>
        {c.referralId ? (
          <Link to="/p/$practiceId/r/$referralId" params={{ practiceId, referralId: c.referralId }}>
            {name}
          </Link>
        ) : (
          <b>{name}</b>
        )}
        : {sayKeptCount(c.ops.length, c.files.length)}
        {bytes > 0 ? ` (${formatBytes(bytes)})` : ''}
        {c.since ? (
          <span className="hint">
            {' '}
            since <Time at={c.since} /> by this device’s clock
          </span>
        ) : null}
      </p>
      <Choices conflicts={c.conflicts} />
      {refused.length > 0 ? (
        <ul className="plain-list">
          {refused.map((op, at) => (
            <Refused key={op.seq} op={op} waiting={at === 0 ? held.size - refused.length : 0} />
          ))}
        </ul>
      ) : null}
      {c.ops.length + c.files.length > 0 ? (
        <details>
          <summary>What waits</summary>
          <ol className="small-list">
            {c.ops.map((op) => (
              <li key={op.seq}>
                {sayWrite(op.route)}
                {op.state === 'refused'
                  ? ', not taken'
                  : op.needsPassword
                    ? ', signature pending'
                    : op.route === 'sendReferral'
                      ? ': nobody has it yet'
                      : held.has(op.seq)
                        ? ', waits behind what was not taken'
                        : ''}
              </li>
            ))}
            {c.files.map((f) => (
              <li key={f.arrivalId}>
                {f.fileName}, {formatBytes(f.sizeBytes)}
                {f.announced ? ', begun' : ''}
              </li>
            ))}
          </ol>
        </details>
      ) : null}
    </li>
  );
}

function LeftPractice({ left }: { left: Left }) {
  const [asked, setAsked] = useState(false);
  return (
    <Notice level="look">
      <p>{sayLeft(left.practiceName, sayMoment(left.noticedAt), left)}</p>
      {left.says ? <p>{left.says}</p> : null}
      <p className="row">
        {left.state === 'handed-over' ? (
          <Button onClick={() => void leaving.readByPerson(left.practiceId)}>I have read this</Button>
        ) : (
          <Button onClick={() => void leaving.settle()}>Try again</Button>
        )}
        {left.state !== 'refused' ? null : asked ? (
          <Button onClick={() => void leaving.throwAway(left.practiceId)}>
            Yes, throw away what was not sent
          </Button>
        ) : (
          <Button look="quiet" onClick={() => setAsked(true)}>
            Throw it away …
          </Button>
        )}
      </p>
    </Notice>
  );
}

function Others({ changes, files }: { changes: number; files: number }) {
  if (changes + files === 0) return null;
  return (
    <section aria-labelledby="d-others">
      <h2 id="d-others">Somebody else’s work</h2>
      <p>
        {capital(sayKeptCount(changes, files))} of another person who worked in this browser{' '}
        {changes + files === 1 ? 'waits' : 'wait'} here. {changes + files === 1 ? 'It is' : 'They are'} sent
        when that person signs in again, and shown to nobody else.
      </p>
    </section>
  );
}

interface RoomLeft {
  readonly used: number;
  readonly quota: number;
  readonly persisted: boolean;
}

function Room() {
  const [room, setRoom] = useState<RoomLeft | null>(null);
  const look = async () => {
    const { usage = 0, quota = 0 } = await navigator.storage.estimate();
    setRoom({ used: usage, quota, persisted: await navigator.storage.persisted() });
  };
  useEffect(() => void look().catch(() => undefined), []);
  if (!device.durable)
    return (
      <Notice level="look">
        This browser gives no lasting room (a private window, perhaps): nothing outlives this page, and
        without a network nothing can be entered.
      </Notice>
    );
  if (!room) return null;
  return (
    <section aria-labelledby="d-room">
      <h2 id="d-room">Room</h2>
      <p>{sayRoom(room.used, room.quota)}</p>
      <p className="hint">
        {room.persisted
          ? 'The browser has promised to keep it until you sign out.'
          : 'The browser has not promised to keep it: when the disk is nearly full it may clear what is here.'}{' '}
        Signing out takes everything off this device. What is kept here is not encrypted: whoever can use this
        computer under your name can read it.
      </p>
      {room.persisted ? null : (
        <p className="row">
          <Button onClick={() => void navigator.storage.persist().then(look)}>
            Ask the browser to keep it
          </Button>
        </p>
      )}
    </section>
  );
}
