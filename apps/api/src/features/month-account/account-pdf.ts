import type { AccountLine, AccountPart, MonthAccount } from '@chordae/contract';
import {
  accountColumns,
  accountKindNames,
  COUNTING_RULES,
  capital,
  sayAccountNote,
  sayAmount,
  sayCounts,
  sayDay,
  sayMonth,
} from '@chordae/words';
import {
  heightOf,
  INK,
  MARGIN,
  need,
  type Paper,
  paintOnPaper,
  QUIET,
  rule,
  WIDTH,
  write,
} from '../signatures';

export interface AccountPaper {
  readonly title: string;
  /** Whose account it is: a person or a practice. */
  readonly of: string;
  readonly at: Date;
}

/** The account on paper: a table for each practice and person, and the rules of counting at the end. */
export async function accountPdf(account: MonthAccount, paper: AccountPaper): Promise<Buffer> {
  const { bytes } = await paintOnPaper(
    { title: paper.title, author: paper.of, at: paper.at, across: null },
    (p) => {
      write(p, p.tree, 'H1', paper.of, { size: 15, font: 'serif', gap: 1 });
      write(
        p,
        p.tree,
        'P',
        `Account for ${sayMonth(account.month)}, drawn up ${sayDay(paper.at.toISOString())}`,
        { size: 10, gap: 4 },
      );
      if (account.demo)
        write(p, p.tree, 'P', 'Demonstration data: nothing here is real.', {
          size: 9,
          font: 'strong',
          gap: 4,
        });
      rule(p.doc, { width: 1.1, colour: INK, gap: 10 });
      if (account.parts.every((part) => part.lines.length === 0))
        write(p, p.tree, 'P', 'Nothing was scanned, reported or sent in this month.', { size: 10 });
      for (const part of account.parts) if (part.lines.length > 0) paintPart(p, part, paper.of);
      need(p.doc, 90);
      p.doc.y += 8;
      rule(p.doc, { gap: 6 });
      for (const line of COUNTING_RULES) write(p, p.tree, 'P', line, { size: 7.5, colour: QUIET, gap: 1 });
    },
  );
  return bytes;
}

function paintPart(paper: Paper, part: AccountPart, of: string): void {
  const { doc, tree } = paper;
  need(doc, 90);
  const person = part.memberName === of ? '' : `: ${part.memberName}`;
  write(paper, tree, 'H2', `${part.practiceName}${person}`, { size: 11.5, font: 'strong', gap: 1 });
  const total =
    part.prices && part.totalHundredths !== null
      ? `. Total ${sayAmount(part.totalHundredths, part.prices.currency)}`
      : '';
  write(paper, tree, 'P', `${capital(sayCounts(part.counts))}${total}`, { size: 9.5, gap: 5 });
  paintLines(paper, part);
  doc.y += 8;
}

interface Column {
  readonly head: string;
  readonly width: number;
  readonly right?: boolean;
  readonly cell: (line: AccountLine) => string;
}

function columnsOf(part: AccountPart): Column[] {
  const { prices } = part;
  const money: Column[] = prices
    ? [
        {
          head: accountColumns.amount,
          width: 72,
          right: true,
          cell: (l) => (l.amountHundredths === null ? '' : sayAmount(l.amountHundredths, prices.currency)),
        },
      ]
    : [];
  const fixed = 74 + 44 + 72 + money.reduce((sum, c) => sum + c.width, 0);
  const rest = WIDTH - fixed;
  return [
    { head: accountColumns.day, width: 74, cell: (l) => l.day },
    {
      head: accountColumns.patient,
      width: rest * 0.55,
      cell: (l) => `${l.patientName}, number ${l.patientNumber}`,
    },
    { head: 'Case', width: 44, cell: (l) => String(l.caseNumber) },
    { head: accountColumns.what, width: 72, cell: (l) => accountKindNames[l.kind].one },
    { head: accountColumns.note, width: rest * 0.45, cell: sayAccountNote },
    ...money,
  ];
}

const SIZE = 8.5;

/** A real table for screen readers; its head stands again on each page. */
function paintLines(paper: Paper, part: AccountPart): void {
  const { doc, tree } = paper;
  const columns = columnsOf(part);
  const table = doc.struct('Table');
  tree.add(table);
  const paintRow = (cells: readonly string[], tag: 'TH' | 'TD', quiet: boolean) => {
    const top = doc.y;
    const tr = doc.struct('TR');
    table.add(tr);
    let x: number = MARGIN.side;
    let bottom = top;
    columns.forEach((column, at) => {
      const width = column.width - 6;
      const left = x;
      tr.add(
        doc.struct(tag, {}, () => {
          doc
            .font(tag === 'TH' ? 'strong' : 'plain')
            .fontSize(SIZE)
            .fillColor(quiet ? QUIET : INK);
          doc.text(cells[at] ?? '', left, top, { width, align: column.right ? 'right' : 'left' });
        }),
      );
      bottom = Math.max(bottom, doc.y);
      x += column.width;
    });
    tr.end();
    doc.x = MARGIN.side;
    doc.y = bottom + 2.5;
  };
  const head = columns.map((c) => c.head);
  paintRow(head, 'TH', false);
  for (const line of part.lines) {
    const cells = columns.map((c) => c.cell(line));
    const height = Math.max(
      ...cells.map((cell, at) => heightOf(doc, cell, { size: SIZE, width: (columns[at]?.width ?? 60) - 6 })),
    );
    const page = doc.page;
    need(doc, height + 6);
    if (doc.page !== page) paintRow(head, 'TH', false);
    paintRow(cells, 'TD', !line.counted);
  }
  table.end();
}
