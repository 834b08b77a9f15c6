import { type MonthAccount, routes } from '@chordae/contract';
import { sayMonth } from '@chordae/words';
import type { FastifyInstance, FastifyReply } from 'fastify';
import { serve } from '../../platform/http/route-server';
import type { Services } from '../../platform/services';
import { practiceName } from '../accounts';
import { PDF_POLICY } from '../signatures';
import { accountCsv } from './account-csv';
import { accountPdf } from './account-pdf';
import { ownAccount, practiceAccount, pricesOf, setPrices } from './month-account.service';

/** What was done in a month: for who did it, across practices, and for each practice's manager. */
export function registerMonthAccount(app: FastifyInstance, services: Services): void {
  serve(app, services, routes.myAccount, ({ tx, actor, query }) => ownAccount(tx, actor, query.month));
  serve(app, services, routes.practiceAccount, ({ tx, params, query }) =>
    practiceAccount(tx, params.practiceId, query.month),
  );

  serve(app, services, routes.myAccountCsv, async ({ tx, actor, query, reply }) =>
    sendCsv(reply, await ownAccount(tx, actor, query.month), query.bom === '1'),
  );
  serve(app, services, routes.practiceAccountCsv, async ({ tx, params, query, reply }) =>
    sendCsv(reply, await practiceAccount(tx, params.practiceId, query.month), query.bom === '1'),
  );

  serve(app, services, routes.myAccountPdf, async ({ tx, actor, query, reply }) =>
    sendPdf(services, reply, await ownAccount(tx, actor, query.month), actor.name),
  );
  serve(app, services, routes.practiceAccountPdf, async ({ tx, params, query, reply }) =>
    sendPdf(
      services,
      reply,
      await practiceAccount(tx, params.practiceId, query.month),
      await practiceName(tx, params.practiceId),
    ),
  );

  serve(app, services, routes.getAccountPrices, async ({ tx, params, actor }) => ({
    prices: await pricesOf(tx, params.practiceId, actor.memberId),
  }));
  serve(app, services, routes.putAccountPrices, async ({ tx, params, body, actor }) => {
    await setPrices(tx, actor, params.practiceId, body.prices, services.clock.now());
    return { prices: await pricesOf(tx, params.practiceId, actor.memberId) };
  });
}

function sendCsv(reply: FastifyReply, account: MonthAccount, withMark: boolean): void {
  void reply
    .headers({
      'content-disposition': `attachment; filename="account-${account.month}.csv"`,
      'cache-control': 'private, no-store',
    })
    .type('text/csv; charset=utf-8; header=present')
    .send(`${withMark ? '\uFEFF' : ''}${accountCsv(account)}`);
}

async function sendPdf(
  services: Services,
  reply: FastifyReply,
  account: MonthAccount,
  of: string,
): Promise<void> {
  const bytes = await accountPdf(account, {
    title: `Account of ${of}, ${sayMonth(account.month)}`,
    of,
    at: services.clock.now(),
  });
  void reply
    .headers({
      ...PDF_POLICY,
      'content-disposition': `inline; filename="account-${account.month}.pdf"`,
      'cache-control': 'private, no-store',
    })
    .type('application/pdf')
    .send(bytes);
}
