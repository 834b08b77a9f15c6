import type { VerifiedOpinion } from '@chordae/contract';
import { REPORT_NOT_SPECIALIST } from '@chordae/words';
import { useQuery } from '@tanstack/react-query';
import { useNavigate, useParams } from '@tanstack/react-router';
import { useState } from 'react';
import { call } from '../../host/api';
import { useTitle } from '../../host/title';
import { Button } from '../../kit/button';
import { TextField } from '../../kit/field';
import { Loading, Problem } from '../../kit/notice';

const HASH = /^[0-9a-f]{64}$/;
const WHEN = new Intl.DateTimeFormat('en-GB', { dateStyle: 'long', timeStyle: 'short', timeZone: 'UTC' });

/** The hash out of what was pasted: spaces and line ends of a paper, or the whole address. */
export function hashIn(text: string): string | null {
  const close = text.toLowerCase().replace(/\s+/g, '');
  const found = /[0-9a-f]{64}(?![0-9a-f])/.exec(close.replace(/^.*\/verify\//, ''))?.[0];
  return found ?? null;
}

/** For anybody who holds a printed opinion: was it signed here, by whom, when, and was something added since. */
export function VerifyPage() {
  useTitle('Check a paper');
  const go = useNavigate();
  const { sha256 } = useParams({ strict: false }) as { sha256?: string };
  const [typed, setTyped] = useState(sha256 ?? '');
  const [problem, setProblem] = useState<string | null>(null);
  const check = () => {
    const hash = hashIn(typed);
    if (!hash) {
      setProblem(
        'Not a hash: it has 64 characters, 0 to 9 and a to f, and stands beside ‘SHA-256’ on the paper.',
      );
      return;
    }
    setProblem(null);
    void go({ to: '/verify/$sha256', params: { sha256: hash } });
  };
  return (
    <div className="page verify">
      <h1>Check an opinion or a scan report</h1>
      <p className="lead">
        Every opinion and every scan report that is signed here carries a number made from its whole text.
        Whoever holds the paper can ask here whether that number was signed, by whom, and whether something
        was added since.
      </p>
      <form
        className="verify-form"
        onSubmit={(event) => {
          event.preventDefault();
          check();
        }}
      >
        <TextField
          label="SHA-256 of the signed text"
          wide
          spellCheck={false}
          autoCapitalize="none"
          value={typed}
          problem={problem}
          hint="Below the name of who signed, on the last page. Spaces do not matter; the whole address may be pasted too."
          onChange={(e) => setTyped(e.target.value)}
        />
        <Button type="submit" look="main">
          Check
        </Button>
      </form>
      {sha256 ? <Result hash={sha256.toLowerCase()} /> : null}
      <h2>What this tells, and what it does not</h2>
      <ul>
        <li>
          It names who signed and when, and whose paper it is: the reading group’s, or for a scan report the
          practice’s. It names no patient and no finding.
        </li>
        <li>
          It knows the number, not the paper in your hand: compare name and time with those on the paper. Ask
          whoever is named on it where they differ.
        </li>
        <li>The number is that of the text, not of the PDF file: two copies of one paper carry the same.</li>
        <li>A paper never changes after it is signed. What is added later is signed by itself.</li>
      </ul>
    </div>
  );
}

function Result({ hash }: { hash: string }) {
  const valid = HASH.test(hash);
  const { data, error } = useQuery({
    queryKey: ['verify', hash],
    queryFn: ({ signal }) => call('verifyOpinion', { params: { sha256: hash }, signal }),
    enabled: valid,
    retry: false,
  });
  if (!valid) return <Problem>The address holds no hash of 64 characters. Type it from the paper.</Problem>;
  if (error) return <Problem>{error.message}</Problem>;
  return (
    <div role="status" className="verify-result">
      {data ? <Says found={data} hash={hash} /> : <Loading what="the answer" />}
    </div>
  );
}

const WHAT: Record<NonNullable<VerifiedOpinion['kind']>, string> = {
  opinion: 'An opinion',
  addendum: 'An addendum',
  'scan-report': 'A scan report',
  'scan-report-addendum': 'An addendum to a scan report',
};

function Says({ found, hash }: { found: VerifiedOpinion; hash: string }) {
  if (!found.known)
    return (
      <div className="notice notice-look">
        <p className="status-line">Nothing with this number was signed here.</p>
        <p>
          Compare it once more with the paper, character by character. If it is the same, the paper does not
          come from here as it is: ask whoever is named on it.
        </p>
        <p className="hint verify-hash">{hash}</p>
      </div>
    );
  const report = found.kind === 'scan-report' || found.kind === 'scan-report-addendum';
  const what = found.kind ? WHAT[found.kind] : 'A paper';
  return (
    <div className="notice">
      <p className="status-line">
        {what} with this number was signed here by {found.signerName}
        {report ? ' for ' : ', '}
        {found.groupName}
        {found.signedAt ? `, on ${WHEN.format(new Date(found.signedAt))} UTC` : ''}.
      </p>
      {report ? <p>{REPORT_NOT_SPECIALIST}</p> : null}
      <p>
        {found.addenda === 0
          ? 'Nothing was added since.'
          : `${found.addenda === 1 ? 'One addendum was' : `${found.addenda} addenda were`} signed after it: ask the practice for ${found.addenda === 1 ? 'it' : 'them'} before you rely on this one.`}
      </p>
      <p className="hint verify-hash">{hash}</p>
    </div>
  );
}
