import type { GroupSettings, ReadPair } from '@chordae/contract';
import { capital, formatWithUnit, measurementNames, structureNames, urgencyNames } from '@chordae/words';
import { useQuery, useQueryClient } from '@tanstack/react-query';
import { Link, useParams } from '@tanstack/react-router';
import { type FormEvent, useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { groupsOf, useMe } from '../../host/session';
import { useTitle } from '../../host/title';
import { Button } from '../../kit/button';
import { TextField } from '../../kit/field';
import { Loading, Problem } from '../../kit/notice';
import { sayMoment } from '../../kit/time';
import { SendersPart } from '../learning/senders-part';
import { MarksPart } from './marks-part';
import { type Agreement, compareReads } from './read-agreement';

/** What a lead sees and sets: second reads with their agreement, and picture hints against readers' judgements. */
export function GroupPage() {
  const { groupId } = useParams({ from: '/members/in-shell/group/$groupId' });
  const group = groupsOf(useMe()).find((g) => g.id === groupId);
  useTitle('Group');
  const settings = useQuery({
    queryKey: ['group-settings', groupId],
    queryFn: () => call('getGroupSettings', { params: { groupId } }),
  });
  const client = useQueryClient();
  const save = async (next: GroupSettings) => {
    const stored = await call('putGroupSettings', { params: { groupId }, body: next });
    client.setQueryData(['group-settings', groupId], stored);
  };
  if (!group?.roles.includes('lead'))
    return (
      <div className="page">
        <h1>Group</h1>
        <p>This page is for the lead of a reading group.</p>
      </div>
    );
  return (
    <div className="page group-page">
      <h1>{group.name}</h1>
      {settings.error ? <Problem>{settings.error.message}</Problem> : null}
      {settings.data ? (
        <>
          <SecondReads groupId={groupId} settings={settings.data} save={save} />
          <MarksPart groupId={groupId} settings={settings.data} save={save} />
          <SendersPart groupId={groupId} />
        </>
      ) : (
        <Loading what="what the group has set" />
      )}
      <p>
        <Link to="/queue">Back to the queue</Link>
      </p>
    </div>
  );
}

function SecondReads({
  groupId,
  settings,
  save,
}: {
  groupId: string;
  settings: GroupSettings;
  save: (next: GroupSettings) => Promise<void>;
}) {
  const [text, setText] = useState(String(settings.secondReadPercent));
  const [said, setSaid] = useState<{ readonly ok: boolean; readonly words: string } | null>(null);
  const pairs = useQuery({
    queryKey: ['read-pairs', groupId],
    queryFn: () => call('listReadPairs', { params: { groupId } }),
  });
  const submit = (event: FormEvent) => {
    event.preventDefault();
    const percent = Number(text.replace(',', '.'));
    if (!Number.isInteger(percent) || percent < 0 || percent > 100)
      return setSaid({ ok: false, words: 'Write a whole number from 0 to 100.' });
    save({ ...settings, secondReadPercent: percent })
      .then(() => setSaid({ ok: true, words: `Kept: ${percent} of a hundred new referrals.` }))
      .catch((error: unknown) => setSaid({ ok: false, words: sentenceOf(error) }));
  };
  return (
    <section className="form-part" aria-labelledby="second-reads">
      <h2 id="second-reads">Second reads</h2>
      <p>
        A share of the referrals is read twice. Which ones is drawn from their numbers, not chosen. The second
        reader sees nothing of the first until both have signed; the practice gets the first read only.
      </p>
      <form className="row" onSubmit={submit}>
        <TextField
          label="Of a hundred new referrals, read twice"
          inputMode="numeric"
          value={text}
          problem={said && !said.ok ? said.words : null}
          onChange={(e) => setText(e.target.value)}
        />
        <Button type="submit">Set</Button>
      </form>
      {said?.ok ? <p role="status">{said.words}</p> : null}
      {pairs.error ? <Problem>{pairs.error.message}</Problem> : null}
      {pairs.data?.length === 0 ? (
        <p className="empty">No referral has two signed reads yet.</p>
      ) : (
        <ul className="read-pairs">
          {pairs.data?.map((pair) => (
            <Pair key={pair.referralId} pair={pair} />
          ))}
        </ul>
      )}
    </section>
  );
}

const SAID: Record<Agreement, string> = {
  same: 'the same',
  differs: 'not the same',
  'one-spoke': 'only one reader spoke of it',
  neither: 'neither spoke of it',
};

function Pair({ pair }: { pair: ReadPair }) {
  const found = compareReads(pair);
  const apart = found.structures.filter(([, a]) => a === 'differs' || a === 'one-spoke');
  const wide = found.values.filter((v) => v.beyondError === true);
  return (
    <li>
      <details>
        <summary>
          <b>{pair.patientName}</b>, {pair.practiceName} {pair.number}: stage {SAID[found.stage]}, urgency{' '}
          {SAID[found.urgency]}
          {wide.length > 0
            ? `, ${wide.length} ${wide.length === 1 ? 'value' : 'values'} further apart than measuring explains`
            : ''}
          . <span className="hint">{sayMoment(pair.signedAt)}</span>
        </summary>
        <table className="pair-table">
          <thead>
            <tr>
              <th scope="col">
                <span className="hidden">About</span>
              </th>
              <th scope="col">{pair.firstReader} (first)</th>
              <th scope="col">{pair.secondReader} (second)</th>
            </tr>
          </thead>
          <tbody>
            <tr>
              <th scope="row">Conclusion</th>
              <td>{pair.first.conclusion}</td>
              <td>{pair.second.conclusion}</td>
            </tr>
            <tr>
              <th scope="row">Stage</th>
              <td>{pair.first.stage || 'none given'}</td>
              <td>{pair.second.stage || 'none given'}</td>
            </tr>
            <tr>
              <th scope="row">Urgency</th>
              <td>{pair.urgency ? urgencyNames[pair.urgency] : 'none'}</td>
              <td>{pair.second.urgency ? urgencyNames[pair.second.urgency] : 'none given'}</td>
            </tr>
            {apart.map(([structure]) => (
              <tr key={structure}>
                <th scope="row">{capital(structureNames[structure])}</th>
                <td>{sayFinding(pair.first.findings[structure])}</td>
                <td>{sayFinding(pair.second.findings[structure])}</td>
              </tr>
            ))}
            {found.values.map((v) => (
              <tr key={v.code}>
                <th scope="row">
                  {measurementNames[v.code].short}
                  {v.beyondError === true ? <span className="hint"> beyond measuring error</span> : null}
                  {v.beyondError === null ? <span className="hint"> repeatability not known</span> : null}
                </th>
                <td className="numbers">{formatWithUnit(v.first, v.unit)}</td>
                <td className="numbers">{formatWithUnit(v.second, v.unit)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </details>
    </li>
  );
}

function sayFinding(found: ReadPair['first']['findings']['mitral']): string {
  if (!found || found.state === 'not-assessed') return 'not assessed';
  return found.state === 'not-seen' ? 'not seen' : found.text;
}
