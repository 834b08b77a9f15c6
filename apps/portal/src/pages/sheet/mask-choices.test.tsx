import type { ClipRecord, FanProposal, MaskDecisionSaid } from '@chordae/contract';
import { cleanup, fireEvent, render, screen } from '@testing-library/react';
import { afterEach, describe, expect, it } from 'vitest';
import { MaskChoices, type MaskChoicesProps } from './mask-choices';
import { openMarks } from './what-leaves';

const fan: FanProposal = {
  outline: [40, 4, 78, 58, 2, 58],
  tightOutline: [40, 6, 76, 56, 4, 56],
  keptShare: 0.44,
  confidence: 0.9,
  proposed: true,
  reasons: [],
};
afterEach(cleanup);

function shown(props: Partial<MaskChoicesProps>): MaskDecisionSaid[] {
  const said: MaskDecisionSaid[] = [];
  render(
    <MaskChoices
      widthPx={80}
      heightPx={60}
      marks={[]}
      fan={fan}
      filmed={false}
      picture={<i>the first frame</i>}
      preview={(cover) => <div data-testid="preview">{cover}</div>}
      problem={null}
      onDecide={(one) => said.push(one)}
      {...props}
    />,
  );
  return said;
}
const coverPath = () => screen.getByTestId('preview').querySelector('path')?.getAttribute('d') ?? '';
const press = (name: string) => fireEvent.click(screen.getByRole('button', { name }));

describe('what may leave of a picture whose file does not say it', () => {
  it('is proposed as its sector, with all else black over the playing clip, and leaves by one press', () => {
    const said = shown({});
    expect(screen.getByText(/The sector was found, and nothing moves beside it: 44 %/)).toBeTruthy();
    expect(coverPath()).toBe('M0 0H80V60H0ZM40 4L78 58L2 58Z');
    expect(screen.getByTestId('preview').closest('details')).toBeNull();
    press('Only the sector may leave');
    expect(said).toEqual([{ kind: 'fan', outline: fan.outline }]);
  });

  it('can be decided the other way', () => {
    const said = shown({});
    press('No name is in the picture');
    expect(said).toEqual([{ kind: 'no-name-confirmed' }]);
  });

  it('ends at the very border of the sector on a filmed screen', () => {
    const said = shown({ filmed: true });
    expect(coverPath()).toContain('M40 6L76 56L4 56Z');
    press('Only the sector may leave');
    expect(said).toEqual([{ kind: 'fan', outline: fan.tightOutline }]);
  });

  it('is asked by drawing first where the sector is only offered, with the reason beside it', () => {
    shown({ fan: { ...fan, proposed: false, reasons: ['FAN_MOVES_OUTSIDE', 'FAN_UNSURE'] } });
    expect(screen.getByTestId('preview').closest('details')).not.toBeNull();
    expect(
      screen.getByText(/not proposed: something moves beside it.*its borders are not sure/),
    ).toBeTruthy();
  });

  it.each(['awaited', null] as const)('can be decided by drawing while no sector is there (%s)', (none) => {
    const said = shown({ fan: none });
    expect(screen.queryByRole('button', { name: 'Only the sector may leave' })).toBeNull();
    press('No name is in the picture');
    expect(said).toHaveLength(1);
  });
});

describe('places that may be text', () => {
  const marks = [
    { x0: 0, y0: 0, x1: 20, y1: 8 },
    { x0: 30, y0: 30, x1: 50, y1: 40 },
  ];
  const clip = (part: Partial<ClipRecord>) =>
    ({ description: { widthPx: 80, heightPx: 60, stillMarks: marks }, ...part }) as unknown as ClipRecord;
  const frame = { x0: 2, y0: 4, x1: 77, y1: 57 };

  it('are asked about where they leave: within a sector or a box, and wherever a file has regions', () => {
    expect(openMarks(clip({ mask: 'fan', keepBox: { ...frame, outline: fan.outline } }))).toEqual([marks[1]]);
    expect(openMarks(clip({ mask: 'box', keepBox: { x0: 0, y0: 0, x1: 25, y1: 25 } }))).toEqual([marks[0]]);
    expect(openMarks(clip({ mask: 'regions', keepBox: frame }))).toEqual(marks);
    expect(openMarks(clip({ mask: 'fan', keepBox: { ...frame, outline: fan.outline, cover: [] } }))).toEqual(
      [],
    );
    expect(openMarks(clip({ mask: 'no-name-confirmed', keepBox: null }))).toEqual([]);
  });
});
