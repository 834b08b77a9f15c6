import type { MonthAccount } from '@chordae/contract';
import { accountColumns, accountKindNames, planNames, sayAccountNote } from '@chordae/words';
import { csvText } from './csv';

/** The account as a file, a line each. Without any price it has no columns of money. */
export function accountCsv(account: MonthAccount): string {
  const money = account.parts.some((p) => p.prices !== null);
  const c = accountColumns;
  const head = [
    c.practice,
    c.day,
    c.doneOn,
    c.patient,
    c.patientNumber,
    c.caseNumber,
    c.what,
    c.question,
    c.person,
    c.counted,
    c.note,
  ];
  const rows = account.parts.flatMap((part) =>
    part.lines.map((line) => [
      part.practiceName,
      line.day,
      line.doneOn,
      line.patientName,
      line.patientNumber,
      line.caseNumber,
      accountKindNames[line.kind].one,
      planNames[line.plan],
      line.memberName,
      line.counted ? 'yes' : 'no',
      sayAccountNote(line),
      ...(money
        ? line.amountHundredths === null
          ? ['', '']
          : [(line.amountHundredths / 100).toFixed(2), part.prices?.currency ?? '']
        : []),
    ]),
  );
  return csvText([money ? [...head, c.amount, c.currency] : head, ...rows]);
}
