import type { Box, FanProposal, MaskDecisionSaid } from '@chordae/contract';
import { sayFan } from '@chordae/words';
import type { ReactNode } from 'react';
import { Button } from '../../kit/button';
import { MaskPicker } from './mask-picker';

export interface MaskChoicesProps {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly marks: readonly Box[];
  /** 'awaited': the pictures are still being looked at. */
  readonly fan: FanProposal | 'awaited' | null;
  /** Of a filmed screen nothing beyond the sector's border is shown. */
  readonly filmed: boolean;
  /** Drawn on, in its own pixels. */
  readonly picture: ReactNode;
  /** The clip, with what would not leave under this cover. */
  readonly preview: (cover: ReactNode) => ReactNode;
  readonly problem: string | null;
  readonly onDecide: (said: MaskDecisionSaid) => void;
}

/** What may leave of a picture whose file does not say where it ends: its sector, a drawn box, or all of it. A person decides. */
export function MaskChoices(props: MaskChoicesProps) {
  const { fan, widthPx, heightPx, marks, picture, problem, onDecide } = props;
  const picker = (
    <MaskPicker
      widthPx={widthPx}
      heightPx={heightPx}
      marks={marks}
      picture={picture}
      problem={problem}
      onDecide={onDecide}
    />
  );
  if (fan === 'awaited')
    return (
      <>
        <p className="hint" role="status">
          The sector is being looked for in the pictures. You need not wait for it.
        </p>
        {picker}
      </>
    );
  if (fan === null) return picker;
  if (!fan.proposed)
    return (
      <>
        {picker}
        <details>
          <summary>Only the sector that was found</summary>
          <FanLook {...props} fan={fan} />
        </details>
      </>
    );
  return (
    <>
      <FanLook {...props} fan={fan} />
      <details>
        <summary>Decide otherwise: a box, or the whole picture</summary>
        {picker}
      </details>
    </>
  );
}

/** What the readers would get of the sector alone, playing. */
function FanLook({
  fan,
  filmed,
  widthPx,
  heightPx,
  preview,
  onDecide,
}: Omit<MaskChoicesProps, 'fan'> & { readonly fan: FanProposal }) {
  const outline = filmed ? fan.tightOutline : fan.outline;
  return (
    <>
      <p className="hint">{sayFan(fan)} This is what the readers would get:</p>
      {preview(<OutsideBlack outline={outline} widthPx={widthPx} heightPx={heightPx} />)}
      <p className="row">
        <Button
          look={fan.proposed ? 'main' : undefined}
          onClick={() => onDecide({ kind: 'fan', outline: [...outline] })}
        >
          Only the sector may leave
        </Button>
      </p>
    </>
  );
}

/** Black over everything outside an outline, in the picture's own pixels. */
function OutsideBlack({
  outline,
  widthPx,
  heightPx,
}: {
  readonly outline: readonly number[];
  readonly widthPx: number;
  readonly heightPx: number;
}) {
  const corners: string[] = [];
  for (let n = 0; n + 1 < outline.length; n += 2) corners.push(`${outline[n]} ${outline[n + 1]}`);
  return (
    <svg
      className="mask-cover"
      viewBox={`0 0 ${widthPx} ${heightPx}`}
      preserveAspectRatio="none"
      aria-hidden="true"
    >
      <path d={`M0 0H${widthPx}V${heightPx}H0ZM${corners.join('L')}Z`} fillRule="evenodd" />
    </svg>
  );
}
