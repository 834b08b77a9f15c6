import type { AccountPart } from '@chordae/contract';
import { accountKindNames, capital, planNames, sayAccountNote, sayAmount } from '@chordae/words';
import { Link } from '@tanstack/react-router';
import { sayDay } from '../../kit/time';

/** What the counts are made of, a line each. */
export function AccountLines({ part }: { part: AccountPart }) {
  const { prices } = part;
  return (
    <div
      className="table-scroll"
      tabIndex={0}
      role="region"
      aria-label={`Lines of ${part.practiceName}, ${part.memberName}`}
    >
      <table className="plain-table account-table">
        <thead>
          <tr>
            <th scope="col">Scanned on</th>
            <th scope="col">Patient</th>
            <th scope="col">What</th>
            <th scope="col">Question</th>
            <th scope="col">Note</th>
            {prices ? (
              <th scope="col" className="number">
                Amount
              </th>
            ) : null}
          </tr>
        </thead>
        <tbody>
          {part.lines.map((line) => (
            <tr key={line.key} className={line.counted ? '' : 'account-out'}>
              <td>{sayDay(line.day)}</td>
              <td>
                <Link
                  to="/p/$practiceId/r/$referralId"
                  params={{ practiceId: line.practiceId, referralId: line.referralId }}
                >
                  {line.patientName}
                </Link>{' '}
                <span className="hint">number {line.patientNumber}</span>
              </td>
              <td>{capital(accountKindNames[line.kind].one)}</td>
              <td>{planNames[line.plan]}</td>
              <td>
                {sayAccountNote(line)}
                {line.afterMonth ? `, ${sayDay(line.doneOn)}` : ''}
              </td>
              {prices ? (
                <td className="number">
                  {line.amountHundredths === null ? '' : sayAmount(line.amountHundredths, prices.currency)}
                </td>
              ) : null}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
