import type { LoopMode } from '../../host/clips/loop-plan';
import { Button } from '../../kit/button';
import type { DeskActionId, DeskKeys } from './desk-keys';
import { showKey } from './desk-keys';

const MODES: Record<LoopMode, string> = {
  together: 'beats together',
  stretched: 'stretched to one beat',
  free: 'free',
};

/** What clips can do while nothing is measured. */
export function StageBar({
  keys,
  mode,
  inPhase,
  mayWrite,
  act,
}: {
  keys: DeskKeys;
  mode: LoopMode;
  /** Does any shown clip have beats that are known. */
  inPhase: boolean;
  mayWrite: boolean;
  act: (action: DeskActionId) => void;
}) {
  const button = (action: DeskActionId, words: string) => (
    <Button look="quiet" keyHint={showKey(keys[action])} onClick={() => act(action)}>
      {words}
    </Button>
  );
  const says = inPhase ? MODES[mode] : 'free, no beat is known';
  return (
    <div className="stage-bar" role="group" aria-label="Clips">
      {button('play-or-hold', 'Play or hold')}
      {button('frame-back', 'Back')}
      {button('frame-on', 'On')}
      {button('phase-mode', `Loops: ${says}`)}
      {button('greys', 'Greys')}
      {button('example', 'Example')}
      {button('earlier-beside', 'Earlier scan')}
      {button('more-tiles', 'More tiles')}
      {button('fewer-tiles', 'Fewer')}
      {mayWrite ? button('judge-view', 'Judge view') : null}
      {mayWrite ? button('key-frame', 'Into opinion') : null}
      {button('keys-list', 'Keys')}
    </div>
  );
}
