import type { Greys } from '../../host/clips/greys';
import { PLAIN_GREYS } from '../../host/clips/greys';
import { Button } from '../../kit/button';

/** Gain, contrast and inversion of the greys in the chosen tile; colours of flow are left alone. */
export function GreysBar({
  greys,
  place,
  onChange,
  onClose,
}: {
  greys: Greys;
  place: number;
  onChange: (greys: Greys) => void;
  onClose: () => void;
}) {
  return (
    <div className="stage-bar greys" role="group" aria-label={`Greys of tile ${place}`}>
      <label>
        Gain
        <input
          type="range"
          min={-0.5}
          max={0.5}
          step={0.02}
          value={greys.gain}
          onChange={(e) => onChange({ ...greys, gain: Number(e.target.value) })}
        />
      </label>
      <label>
        Contrast
        <input
          type="range"
          min={-1.5}
          max={1.5}
          step={0.1}
          value={Math.log2(greys.contrast)}
          onChange={(e) => onChange({ ...greys, contrast: 2 ** Number(e.target.value) })}
        />
      </label>
      <label className="greys-check">
        <input
          type="checkbox"
          checked={greys.inverted}
          onChange={(e) => onChange({ ...greys, inverted: e.target.checked })}
        />
        Inverted
      </label>
      <Button look="quiet" onClick={() => onChange(PLAIN_GREYS)}>
        As it came
      </Button>
      <Button look="quiet" onClick={onClose}>
        Close
      </Button>
      <span className="hint">
        Greys only: colours of flow stay as they are. Nothing that is measured changes.
      </span>
    </div>
  );
}
