import type { CaseView } from '@chordae/contract';
import { viewNames } from '@chordae/words';
import { useEffect, useRef, useState } from 'react';
import { Button } from '../../kit/button';
import { ClipStill } from '../../kit/clip-player';
import { packUrl } from '../sheet/clips-part';
import type { Session } from './canvas/session';
import { emptySession } from './canvas/session';
import { openingOrder } from './clip-order';
import type { TileHandle } from './desk-tile';
import { DeskTile } from './desk-tile';
import { KeysOverlay } from './keys-overlay';
import { LengthBar } from './length-bar';
import { sayFinding } from './say-finding';

/** Up to four clips at once, and the keys that drive them. */
export function Stage({ c, mayWrite }: { c: CaseView; mayWrite: boolean }) {
  const [shown, setShown] = useState<readonly string[]>(() =>
    openingOrder(c.clips, c.referral.plan)
      .slice(0, 4)
      .map((clip) => clip.id),
  );
  const [chosen, setChosen] = useState(1);
  const [session, setSession] = useState<Session | null>(null);
  const [says, setSays] = useState<string | null>(null);
  const [help, setHelp] = useState(false);
  const tiles = useRef(new Map<number, TileHandle>());
  const clips = shown.flatMap((id) => c.clips.find((clip) => clip.id === id) ?? []);
  const clip = clips[chosen - 1] ?? null;

  useEffect(() => {
    // Clips that come in later fill free places; nothing that is shown is moved.
    setShown((now) =>
      [...now, ...c.clips.map((x) => x.id).filter((id) => !now.includes(id))].slice(
        0,
        Math.max(4, now.length),
      ),
    );
  }, [c.clips.length]);

  const choose = (place: number) => {
    if (place === chosen) return;
    setChosen(place);
    setSession(null);
    setSays(null);
  };
  const startLength = () => {
    if (!clip) return;
    setSays(null);
    if (!mayWrite) return setSays('Take the referral to measure on it.');
    const region = clip.description.regions.find(
      (r) => r.unitY === 'cm' && (r.kind === '2d' || r.kind === 'm-mode'),
    );
    if (!region) return setSays(sayFinding('CALIBRATION_MISSING'));
    if (!clip.description.regions.some((r) => r.usable))
      return setSays(sayFinding('CALIBRATION_IMPLAUSIBLE'));
    tiles.current.get(chosen)?.hold();
    setSession(emptySession);
  };
  const stop = () => {
    setSession(null);
    setSays(null);
  };
  const all = (act: (tile: TileHandle) => void) => {
    for (const tile of tiles.current.values()) act(tile);
  };
  const toggle = () => {
    const playing = [...tiles.current.values()].some((t) => t.playing);
    all((t) => {
      if (t.playing === playing) t.toggle();
    });
  };
  const onKey = useRef<(event: KeyboardEvent) => void>(() => undefined);
  onKey.current = (event) => {
    const target = event.target as HTMLElement;
    if (target.closest('dialog') || target.matches('input, textarea, select')) return;
    if (event.metaKey || event.ctrlKey || event.altKey) return;
    const tile = tiles.current.get(chosen);
    const drawn = session?.document.length ?? null;
    const arrows: Record<string, readonly [number, number]> = {
      ArrowLeft: [-1, 0],
      ArrowRight: [1, 0],
      ArrowUp: [0, -1],
      ArrowDown: [0, 1],
    };
    const arrow = arrows[event.key];
    if (arrow && drawn) {
      const by = event.shiftKey ? 10 : 1;
      tile?.tool({ kind: 'nudge', dx: arrow[0] * by, dy: arrow[1] * by });
    } else if (event.key === 'ArrowLeft' || event.key === 'ArrowRight') {
      tile?.step(event.key === 'ArrowLeft' ? -1 : 1);
    } else if (event.key === ' ' && target.tagName !== 'BUTTON') {
      stop();
      toggle();
    } else if (/^[1-4]$/.test(event.key) && Number(event.key) <= clips.length) choose(Number(event.key));
    else if (event.key === 'l' || event.key === 'L') startLength();
    else if (event.key === 'm' && drawn) document.querySelector<HTMLElement>('#length-bar select')?.focus();
    else if (event.key === 'Enter' && drawn && target.tagName !== 'BUTTON')
      document.querySelector<HTMLFormElement>('#length-bar')?.requestSubmit();
    else if (event.key === 'Escape' && session) stop();
    else if (event.key === '+') tile?.zoom(1.25);
    else if (event.key === '-') tile?.zoom(0.8);
    else if (event.key === '0') tile?.fit();
    else if (event.key === '?') setHelp(true);
    else return;
    event.preventDefault();
  };
  useEffect(() => {
    const listen = (event: KeyboardEvent) => onKey.current(event);
    window.addEventListener('keydown', listen);
    return () => window.removeEventListener('keydown', listen);
  }, []);
  const register = (place: number, handle: TileHandle | null) => {
    if (handle) tiles.current.set(place, handle);
    else tiles.current.delete(place);
  };
  return (
    <section className="stage" aria-label="Clips">
      {clips.length === 0 ? (
        <p className="stage-empty">
          {c.arriving > 0
            ? `${c.arriving} files are still on their way.`
            : 'No clip has come with this referral.'}
        </p>
      ) : null}
      <div className={`tiles tiles-${clips.length}`}>
        {clips.map((shownClip, at) => (
          <DeskTile
            key={`${at}-${shownClip.id}`}
            clip={shownClip}
            url={packUrl(c, shownClip.id)}
            place={at + 1}
            chosen={at + 1 === chosen}
            session={at + 1 === chosen ? session : null}
            lengths={c.measurements.filter(
              (m) => m.geometry?.clipId === shownClip.id && !m.supersededById && !m.withdrawn,
            )}
            onChoose={() => choose(at + 1)}
            onSession={setSession}
            register={register}
          />
        ))}
      </div>
      {says ? (
        <p className="stage-says" role="alert">
          {says}
        </p>
      ) : null}
      {session && clip ? (
        <LengthBar key={clip.id} c={c} clip={clip} session={session} onDone={stop} />
      ) : (
        <div className="stage-bar">
          <Button look="quiet" keyHint="space" onClick={toggle}>
            Play or hold
          </Button>
          <Button look="quiet" keyHint="←" onClick={() => tiles.current.get(chosen)?.step(-1)}>
            Frame back
          </Button>
          <Button look="quiet" keyHint="→" onClick={() => tiles.current.get(chosen)?.step(1)}>
            Frame on
          </Button>
          <Button look="quiet" keyHint="L" onClick={startLength}>
            Length
          </Button>
          <Button look="quiet" keyHint="?" onClick={() => setHelp(true)}>
            Keys
          </Button>
        </div>
      )}
      {c.clips.length > 1 ? (
        <ul className="desk-strip" aria-label="Choose clips">
          {c.clips.map((other) => (
            <li key={other.id}>
              <button
                type="button"
                aria-pressed={shown.includes(other.id)}
                aria-label={`Clip ${other.number} in tile ${chosen}: ${other.view ? viewNames[other.view] : 'view not named'}`}
                onClick={() => {
                  stop();
                  setShown((now) =>
                    now.includes(other.id) ? now : now.map((id, at) => (at === chosen - 1 ? other.id : id)),
                  );
                }}
              >
                <ClipStill url={packUrl(c, other.id)} label={`First frame of clip ${other.number}`} />
                <span>{other.number}</span>
              </button>
            </li>
          ))}
        </ul>
      ) : null}
      {help ? <KeysOverlay onClose={() => setHelp(false)} /> : null}
    </section>
  );
}
