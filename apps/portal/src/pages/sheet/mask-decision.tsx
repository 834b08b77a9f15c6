import { type CaseView, type ClipRecord, isFilmed, type MaskDecisionSaid } from '@chordae/contract';
import { useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { useRereadCase } from '../../host/use-case';
import { Button } from '../../kit/button';
import { ClipPlayer, ClipStill } from '../../kit/clip-player';
import { TextArea } from '../../kit/field';
import { Notice } from '../../kit/notice';
import { packUrl } from '../pack-url';
import { MaskChoices } from './mask-choices';

/** Where the file does not say what is picture and what is text, a person decides what leaves the practice. */
export function MaskDecision({ c, clip }: { c: CaseView; clip: ClipRecord }) {
  return (
    <Notice level="look">
      <p>
        <b>May this picture show a name?</b> The file does not say where the picture ends. Until you decide,
        nothing of this clip leaves the practice.
      </p>
      <ClipMaskChoices c={c} clip={clip} />
    </Notice>
  );
}

/** The same, asked once more of a clip about which somebody has decided. */
export function DecideAnew({ c, clip }: { c: CaseView; clip: ClipRecord }) {
  const [asked, setAsked] = useState(false);
  return (
    <>
      <p className="row">
        <Button look="quiet" aria-expanded={asked} onClick={() => setAsked((now) => !now)}>
          {asked ? 'Leave it as it was decided' : 'Decide anew what may leave'}
        </Button>
      </p>
      {asked ? <ClipMaskChoices c={c} clip={clip} onDecided={() => setAsked(false)} /> : null}
    </>
  );
}

function ClipMaskChoices({ c, clip, onDecided }: { c: CaseView; clip: ClipRecord; onDecided?: () => void }) {
  const { widthPx, heightPx } = clip.description;
  const reread = useRereadCase({ practiceId: c.referral.practiceId, referralId: c.referral.id });
  const [problem, setProblem] = useState<string | null>(null);
  const decide = (body: MaskDecisionSaid) => {
    setProblem(null);
    call('maskClip', { params: { practiceId: c.referral.practiceId, clipId: clip.id }, body })
      .then(reread)
      .then(onDecided)
      .catch((error: unknown) => setProblem(sentenceOf(error)));
  };
  const url = packUrl(c, clip.id);
  return (
    <MaskChoices
      widthPx={widthPx}
      heightPx={heightPx}
      marks={clip.description.stillMarks ?? []}
      // Before its pictures were looked at nothing is known of a sector.
      fan={clip.assessment === null ? 'awaited' : (clip.assessment.fan ?? null)}
      filmed={isFilmed(c.statements, clip.id)}
      picture={<ClipStill url={url} label={`First frame of clip ${clip.number}, to draw on`} />}
      preview={(cover) => (
        <ClipPlayer url={url} label={`Clip ${clip.number} with only its sector left`} over={cover} />
      )}
      problem={problem}
      onDecide={decide}
    />
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
