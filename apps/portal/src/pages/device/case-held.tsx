import { heldBack, useDevice } from '../../host/device';
import { Refused } from './held-parts';

/** On the page of a case: what the server would not take of it, and what can be done. */
export function CaseHeld({ caseId, patientId }: { caseId: string; patientId: string }) {
  const { mine } = useDevice();
  const of = mine.filter((o) =>
    [...o.keys, ...o.needs].some((key) => key === `case:${caseId}` || key === `patient:${patientId}`),
  );
  const refused = of.filter((o) => o.state === 'refused');
  if (refused.length === 0) return null;
  const behind = heldBack(of).size - refused.length;
  return (
    <ul className="plain-list" aria-label="Not taken by the server">
      {refused.map((op, at) => (
        <Refused key={op.seq} op={op} waiting={at === 0 ? behind : 0} />
      ))}
    </ul>
  );
}
