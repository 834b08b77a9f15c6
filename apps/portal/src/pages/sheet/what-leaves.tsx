import type { Box, CaseView, ClipRecord } from '@chordae/contract';
import { outgoingKeepArea, touchingKept } from '@chordae/dicom';
import { useMemo, useState } from 'react';
import { call, pathOf, sentenceOf } from '../../host/api';
import { useRereadCase } from '../../host/use-case';
import { Button } from '../../kit/button';
import { ClipPlayer, ClipStill } from '../../kit/clip-player';
import { Notice, Problem } from '../../kit/notice';
import { MarkFrames } from './mark-frames';
import { DecideAnew } from './mask-decision';

/** Address of the very pack that the readers get; the decision is part of it, so that the page asks anew after one. */
export function previewUrl(c: CaseView, clip: ClipRecord): string {
  // A short sum over the decision: it only has to differ from the one before.
  let sum = 0;
  for (const letter of JSON.stringify([clip.mask, clip.keepBox]))
    sum = (Math.imul(sum, 31) + (letter.codePointAt(0) ?? 0)) >>> 0;
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id, clipId: clip.id };
  return pathOf('clipPack', place, { as: 'group', decision: String(sum) });
}

/** Places in what leaves that look like unmoving text and about which nobody has decided yet. */
export function openMarks(clip: ClipRecord): readonly Box[] {
  const decided = clip.mask === 'no-name-confirmed' || clip.keepBox?.cover !== undefined;
  if (decided) return [];
  // Regions were looked through as they are; their frame says less than they do.
  const keep = clip.mask === 'regions' ? null : clip.keepBox;
  return touchingKept(clip.description.stillMarks ?? [], keep, clip.description);
}

/** The decision that stands, with these places covered. */
function coveredBody(clip: ClipRecord, cover: readonly Box[]) {
  const { widthPx, heightPx } = clip.description;
  const { x0, y0, x1, y1, outline } = { ...wholePicture(widthPx, heightPx), ...clip.keepBox };
  const covers = cover.map((box) => ({ ...box }));
  if (clip.mask === 'fan' && outline) return { kind: 'fan', outline, cover: covers } as const;
  return clip.mask === 'box'
    ? ({ kind: 'box', box: { x0, y0, x1, y1 }, cover: covers } as const)
    : ({ kind: 'regions', cover: covers } as const);
}

const wholePicture = (widthPx: number, heightPx: number): NonNullable<ClipRecord['keepBox']> => ({
  x0: 0,
  y0: 0,
  x1: widthPx - 1,
  y1: heightPx - 1,
});

/** What the readers get of a clip, to be looked at before it is sent; and unmoving text in it, to be decided on. */
export function WhatLeaves({ c, clip, editing }: { c: CaseView; clip: ClipRecord; editing: boolean }) {
  const [shown, setShown] = useState(false);
  const [problem, setProblem] = useState<string | null>(null);
  const reread = useRereadCase({ practiceId: c.referral.practiceId, referralId: c.referral.id });
  const marks = useMemo(() => openMarks(clip), [clip]);
  const { widthPx, heightPx } = clip.description;
  const decide = (cover: readonly Box[]) => {
    setProblem(null);
    const params = { practiceId: c.referral.practiceId, clipId: clip.id };
    call('maskClip', { params, body: coveredBody(clip, cover) })
      .then(reread)
      .catch((error: unknown) => setProblem(sentenceOf(error)));
  };
  return (
    <>
      {editing && marks.length > 0 ? (
        <Notice level="look">
          <p>
            <b>Is a name among these?</b>{' '}
            {marks.length === 1
              ? 'One place in what leaves does'
              : `${marks.length} places in what leaves do`}{' '}
            not move and may be text. A depth scale looks the same.
          </p>
          <p className="row">
            <Button onClick={() => setShown(true)}>Show them</Button>
            <Button onClick={() => decide(marks)}>Cover {marks.length === 1 ? 'it' : 'them'}</Button>
            <Button onClick={() => decide([])}>No name there</Button>
          </p>
        </Notice>
      ) : null}
      {problem ? <Problem>{problem}</Problem> : null}
      <p className="row">
        <Button look="quiet" aria-expanded={shown} onClick={() => setShown((s) => !s)}>
          {shown ? 'Close what the readers get' : 'See what the readers get'}
        </Button>
      </p>
      {shown && marks.length > 0 ? (
        <div className="mask-stage mask-look">
          <ClipStill
            url={previewUrl(c, clip)}
            label={`First frame of clip ${clip.number} with the places framed`}
          />
          <MarkFrames boxes={marks} widthPx={widthPx} heightPx={heightPx} />
        </div>
      ) : null}
      {shown ? (
        <ClipPlayer
          key={previewUrl(c, clip)}
          url={previewUrl(c, clip)}
          label={`Clip ${clip.number} as the readers get it`}
        />
      ) : null}
      {editing && outgoingKeepArea(clip.description) === null ? <DecideAnew c={c} clip={clip} /> : null}
    </>
  );
}
