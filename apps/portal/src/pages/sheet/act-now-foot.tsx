import type { CaseView, Flag } from '@chordae/contract';
import { sayFlag } from '@chordae/words';
import { useReach } from './telephones';

/** Act-now messages stand whole wherever one is on the sheet: what to do, what not to do, and the telephone are never cut off. */
export function ActNowFoot({ flags, c }: { flags: readonly Flag[]; c: CaseView }) {
  const context = useReach(c);
  return (
    <section className="sheet-sum sheet-sum-now" aria-label="Act now" tabIndex={0}>
      {flags.map((flag) => (
        <p key={flag.key}>Act now: {sayFlag(flag, context).sentence}</p>
      ))}
      <a href="#says">All that this says</a>
    </section>
  );
}
