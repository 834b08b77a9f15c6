import type { OutboxMail } from '@chordae/contract';
import { useQueries } from '@tanstack/react-query';
import { call } from '../host/api';
import { practicesOf, useMe } from '../host/session';
import { useTitle } from '../host/title';
import { Loading, Problem } from '../kit/notice';
import { Time } from '../kit/time';

const STATES: Record<OutboxMail['state'], string> = {
  waiting: 'waiting for a mail server',
  sent: 'sent',
  failed: 'not delivered, tried again',
};

/** Mails of one's practices. Without a mail server they are read here. */
export function OutboxPage() {
  useTitle('Mails');
  const practices = practicesOf(useMe());
  const lists = useQueries({
    queries: practices.map((p) => ({
      queryKey: ['outbox', p.id],
      queryFn: () => call('outbox', { params: { practiceId: p.id } }),
    })),
  });
  return (
    <div className="page">
      <h1>Mails</h1>
      <p className="lead">
        What was sent to your practices by mail. Without a mail server the mails stand here.
      </p>
      {practices.map((practice, at) => {
        const list = lists[at];
        return (
          <section key={practice.id} aria-labelledby={`o-${practice.id}`}>
            <h2 id={`o-${practice.id}`}>{practice.name}</h2>
            {list?.error ? <Problem>{list.error.message}</Problem> : null}
            {list?.isPending ? <Loading what="mails" /> : null}
            {list?.data?.length === 0 ? <p className="empty">No mails yet.</p> : null}
            <ul className="mails">
              {list?.data?.map((mail) => (
                <li key={mail.id}>
                  <details>
                    <summary>
                      <b>{mail.subject}</b> <span className="hint">to {mail.to}</span>{' '}
                      <span className="hint">
                        <Time at={mail.createdAt} /> · {STATES[mail.state]}
                      </span>
                    </summary>
                    <pre className="mail-body">{mail.body}</pre>
                  </details>
                </li>
              ))}
            </ul>
          </section>
        );
      })}
    </div>
  );
}
