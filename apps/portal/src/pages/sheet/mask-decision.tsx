import type { CaseView, ClipRecord, MaskDecisionSaid } from '@chordae/contract';
import { useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { useRereadCase } from '../../host/use-case';
import { Button } from '../../kit/button';
import { ClipStill } from '../../kit/clip-player';
import { TextArea } from '../../kit/field';
import { Notice } from '../../kit/notice';
import { packUrl } from '../pack-url';
import { MaskPicker } from './mask-picker';

/** Where the file does not say what is picture and what is text, a person decides what leaves the practice. */
export function MaskDecision({ c, clip }: { c: CaseView; clip: ClipRecord }) {
  const { widthPx, heightPx } = clip.description;
  const reread = useRereadCase({ practiceId: c.referral.practiceId, referralId: c.referral.id });
  const [problem, setProblem] = useState<string | null>(null);
  const decide = (body: MaskDecisionSaid) => {
    setProblem(null);
    call('maskClip', { params: { practiceId: c.referral.practiceId, clipId: clip.id }, body })
      .then(reread)
      .catch((error: unknown) => setProblem(sentenceOf(error)));
  };
  return (
    <Notice level="look">
      <p>
        <b>May this picture show a name?</b> The file does not say where the picture ends. Until you decide,
        nothing of this clip leaves the practice.
      </p>
      <MaskPicker
        widthPx={widthPx}
        heightPx={heightPx}
        marks={clip.description.stillMarks ?? []}
        picture={
          <ClipStill url={packUrl(c, clip.id)} label={`First frame of clip ${clip.number}, to draw on`} />
        }
        problem={problem}
        onDecide={decide}
      />
    </Notice>
  );
}

/** A clip that came after sending and whose names differ is held until a person says why it is right. */
export function ReleaseClip({ c, clip, editing }: { c: CaseView; clip: ClipRecord; editing: boolean }) {
  const reread = useRereadCase({ practiceId: c.referral.practiceId, referralId: c.referral.id });
  const [reason, setReason] = useState('');
  const [problem, setProblem] = useState<string | null>(null);
  const release = () =>
    call('releaseClip', { params: { practiceId: c.referral.practiceId, clipId: clip.id }, body: { reason } })
      .then(reread)
      .catch((error: unknown) => setProblem(sentenceOf(error)));
  return (
    <Notice level="look">
      <p>
        <b>This clip is held back.</b> What the file says about the patient
        {clip.machine?.patientName ? ` (‘${clip.machine.patientName}’)` : ''} does not fit this referral. The
        readers get it when you say why it is right.
      </p>
      {editing ? (
        <>
          <TextArea
            label="Why it is the right patient"
            rows={2}
            value={reason}
            problem={problem}
            onChange={(e) => setReason(e.target.value)}
          />
          <p className="row">
            <Button onClick={() => void release()}>Let the clip go</Button>
          </p>
        </>
      ) : null}
    </Notice>
  );
}
