import { type AccountKind, type AccountPrices, type Currency, currencies } from '@chordae/contract';
import { accountKindNames, capital } from '@chordae/words';
import { useQuery, useQueryClient } from '@tanstack/react-query';
import { useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { Button } from '../../kit/button';
import { SelectField, TextField } from '../../kit/field';
import { Loading, Problem } from '../../kit/notice';
import { readPrice } from './months';

const KINDS: readonly AccountKind[] = ['scan', 'rescan', 'report', 'referral'];

/** One's own prices at a practice. Without any there is no column of money. */
export function PricesPart({ practiceId, practiceName }: { practiceId: string; practiceName: string }) {
  const [open, setOpen] = useState(false);
  return (
    <details onToggle={(e) => setOpen(e.currentTarget.open)}>
      <summary>Your prices at {practiceName}</summary>
      {open ? <Loaded practiceId={practiceId} /> : null}
    </details>
  );
}

function Loaded({ practiceId }: { practiceId: string }) {
  const { data, error } = useQuery({
    queryKey: ['account-prices', practiceId],
    queryFn: ({ signal }) => call('getAccountPrices', { params: { practiceId }, signal }),
  });
  if (error) return <Problem>{error.message}</Problem>;
  return data ? <Form practiceId={practiceId} stands={data.prices} /> : <Loading what="the prices" />;
}

function Form({ practiceId, stands }: { practiceId: string; stands: AccountPrices | null }) {
  const client = useQueryClient();
  const [money, setMoney] = useState<Currency>(stands?.currency ?? 'EUR');
  const [typed, setTyped] = useState<Record<AccountKind, string>>(() => {
    const write = (kind: AccountKind) => {
      const at = stands?.hundredths[kind];
      return at === undefined ? '' : (at / 100).toFixed(2);
    };
    return {
      scan: write('scan'),
      rescan: write('rescan'),
      report: write('report'),
      referral: write('referral'),
    };
  });
  const [problem, setProblem] = useState<string | null>(null);
  const [kept, setKept] = useState(false);
  const read = KINDS.map((kind) => [kind, readPrice(typed[kind])] as const);
  const save = async () => {
    setProblem(null);
    if (read.some(([, price]) => price === null)) return setProblem('Some amounts cannot be read.');
    const hundredths = Object.fromEntries(read.filter(([, price]) => typeof price === 'number'));
    const prices = Object.keys(hundredths).length === 0 ? null : { currency: money, hundredths };
    try {
      await call('putAccountPrices', { params: { practiceId }, body: { prices } });
      await client.invalidateQueries({ queryKey: ['account'] });
      setKept(true);
    } catch (error) {
      setProblem(sentenceOf(error));
    }
  };
  return (
    <div className="stack account-prices">
      <p className="hint">
        For each counted scan, rescan, scan report or referral. Empty: no amount. The manager of the practice
        sees the amounts in its account; no other colleague and no reading group does.
      </p>
      <div className="form-grid">
        <SelectField
          label="Currency"
          choices={currencies.map((c) => [c, c] as const)}
          value={money}
          onChange={(e) => {
            setKept(false);
            setMoney(e.target.value as Currency);
          }}
        />
        {read.map(([kind, price]) => (
          <TextField
            key={kind}
            label={capital(accountKindNames[kind].one)}
            inputMode="decimal"
            value={typed[kind]}
            problem={price === null ? 'Write an amount such as 85 or 85.50, without thousands marks.' : null}
            onChange={(e) => {
              setKept(false);
              setTyped((t) => ({ ...t, [kind]: e.target.value }));
            }}
          />
        ))}
      </div>
      {problem ? <Problem>{problem}</Problem> : null}
      <p className="row">
        <Button onClick={() => void save()}>Keep these prices</Button>
        <span role="status" className="hint">
          {kept ? 'Kept. All months are shown with them.' : ''}
        </span>
      </p>
    </div>
  );
}
