import type { GroupSettings, MarkJudged } from '@chordae/contract';
import { formatNumber, SYNTHETIC_CAUTION } from '@chordae/words';
import { useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { Tick } from '../../kit/field';
import { Loading, Problem } from '../../kit/notice';
import { shareOf } from './read-agreement';

/** Kinds of hints that readers can judge, with what each says. */
const MARKS: readonly (readonly [id: string, name: string, what: string])[] = [
  [
    'short-axis-cut',
    'Whether a short axis is cut square',
    'compared with what a reader said of the cut of the same clip; borderline hints are left out',
  ],
  [
    'picture-quality',
    'Gain, depth, loop and frame rate',
    'compared with whether a reader found the view adequate or doubtful; a clip without a mark counts as well',
  ],
];

/** Agreement as it accumulates, and the switch. */
export function MarksPart({
  groupId,
  settings,
  save,
}: {
  groupId: string;
  settings: GroupSettings;
  save: (next: GroupSettings) => Promise<void>;
}) {
  const [problem, setProblem] = useState<string | null>(null);
  const [saving, setSaving] = useState(false);
  const { data, error } = useQuery({
    queryKey: ['marks-judged', groupId],
    queryFn: () => call('listMarksJudged', { params: { groupId } }),
  });
  const turn = (mark: string, on: boolean) => {
    const marksOff = on ? settings.marksOff.filter((m) => m !== mark) : [...settings.marksOff, mark];
    setProblem(null);
    setSaving(true);
    save({ ...settings, marksOff })
      .catch((e: unknown) => setProblem(sentenceOf(e)))
      .finally(() => setSaving(false));
  };
  return (
    <section className="form-part" aria-labelledby="marks">
      <h2 id="marks">Hints from the pictures</h2>
      <p>
        {SYNTHETIC_CAUTION} Below stands how often they agree with what readers of this group said of the same
        clips. A hint that is switched off is shown to nobody here, nor to the practices that send here.
      </p>
      {error ? <Problem>{error.message}</Problem> : null}
      {problem ? <Problem>{problem}</Problem> : null}
      {data ? (
        <ul className="marks-judged">
          {MARKS.map(([id, name, what]) => (
            <li key={id}>
              <Tick
                label={`${name}: shown`}
                disabled={saving}
                checked={!settings.marksOff.includes(id)}
                onChange={(on) => turn(id, on)}
              />
              <p>{sayAgreement(data.filter((m) => m.mark === id))}</p>
              <p className="hint">{what}</p>
            </li>
          ))}
        </ul>
      ) : (
        <Loading what="what readers judged" />
      )}
    </section>
  );
}

function sayAgreement(judged: readonly MarkJudged[]): string {
  const found = shareOf(judged.filter((m) => m.agrees).length, judged.length);
  if (!found) return 'No reader has judged a clip with this hint yet.';
  const per = (share: number) => formatNumber(100 * share, 0);
  const few = judged.length < 30 ? ' Too few to rest on.' : '';
  return `${judged.filter((m) => m.agrees).length} of ${judged.length} agree: ${per(found.share)} %, 95 % interval ${per(found.low)} to ${per(found.high)} %.${few}`;
}
