import { useSyncExternalStore } from 'react';
import { uploads } from '../../host/uploads/uploads';
import { Notice } from '../../kit/notice';
import { MaskChoices } from './mask-choices';

/** What became of the first picture of a file on its way; where the file does not say what may leave, a person decides now. */
export function GoneAhead({ arrivalId, fileName }: { arrivalId: string; fileName: string }) {
  const { firstFrames } = uploads;
  const at = useSyncExternalStore(firstFrames.subscribe, firstFrames.read).get(arrivalId);
  if (at?.state === 'sent')
    return (
      <p className="hint">
        A small first picture has gone ahead, masked by the file’s own regions or by what you decided. Readers
        see it once the referral is sent.
      </p>
    );
  if (at?.state !== 'needs-decision') return null;
  return (
    <details>
      <summary>
        May this picture show a name? Nothing of it goes ahead, and nothing of the clip leaves the practice,
        until you decide
      </summary>
      <Notice level="look">
        <MaskChoices
          widthPx={at.widthPx}
          heightPx={at.heightPx}
          marks={[]}
          fan={at.fan}
          filmed={uploads.isFilmed(arrivalId)}
          picture={
            <img
              className="clip-canvas"
              src={at.picture}
              alt={`First frame of ${fileName}, to draw on`}
              draggable={false}
            />
          }
          preview={(cover) => (
            <div className="mask-stage mask-look">
              <img
                className="clip-canvas"
                src={at.picture}
                alt={`First frame of ${fileName} with only its sector left`}
              />
              {cover}
            </div>
          )}
          problem={null}
          onDecide={(said) => uploads.decide(arrivalId, said)}
        />
      </Notice>
    </details>
  );
}
