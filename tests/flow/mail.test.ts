import type { AddressInfo } from 'node:net';
import { simpleParser } from 'mailparser';
import { SMTPServer } from 'smtp-server';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { queueWaitingMails, sendMails } from '../../apps/api/src/features/deliveries';
import { smtpSender } from '../../apps/api/src/platform/mail/smtp';
import { jobTable } from '../../apps/api/src/worker';
import { startTestApp, type TestApp, uuidv7, workOff } from '../support/test-app';
import { makeWorld, openDraft, type Session, signIn, typeMeasurement, type World } from '../support/world';

let t: TestApp;
let world: World;
let vet: Session;
let server: SMTPServer;
const taken: { to: string; subject: string; text: string }[] = [];
let refuse = false;

beforeAll(async () => {
  server = new SMTPServer({
    authOptional: true,
    disabledCommands: ['STARTTLS'],
    onData(stream, _session, done) {
      if (refuse) {
        stream.resume();
        stream.on('end', () => done(new Error('mailbox full')));
        return;
      }
      void simpleParser(stream).then((mail) => {
        taken.push({
          to: [mail.to].flat()[0]?.text ?? '',
          subject: mail.subject ?? '',
          text: mail.text ?? '',
        });
        done();
      });
    },
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  t = await startTestApp();
  world = await makeWorld(t.admin);
  vet = await signIn(t.app, world.people.vetA.email);
});
afterAll(async () => {
  await t.close();
  await new Promise<void>((resolve) => server.close(() => resolve()));
});

const sender = () =>
  smtpSender({
    ...t.services.config,
    CHORDAE_SMTP_URL: `smtp://127.0.0.1:${(server.server.address() as AddressInfo).port}`,
  });
const states = async () =>
  (await t.admin<{ state: string }[]>`select state from mails order by to_email`).map((m) => m.state);

describe('mails to a practice', () => {
  it('stand in the outbox without a mail server, go out with one, once each, and say nothing clinical', async () => {
    const d = await openDraft(vet, world, world.practiceA, { name: 'Pébble 🐾' });
    await typeMeasurement(vet, d, 'lvidd', 30);
    await vet.patch(d.base, { base: 1, fields: { question: 'How far?' } });
    expect((await vet.post(`${d.base}/send`, { base: 2, identityReason: null })).status).toBe(200);
    const cardiologist = await signIn(t.app, world.people.cardiologist.email);
    await cardiologist.put(`/api/cases/${d.practiceId}/${d.referralId}/interims/${uuidv7()}`, {
      text: 'Drain now, secret words.',
    });
    await workOff(t, jobTable(t.worker) as never);
    expect(await states()).toEqual(['waiting', 'waiting']);
    expect((await vet.get(`/api/practices/${world.practiceA}/outbox`)).raw).toContain('Read now');

    // A mail server set later finds what had been written before it.
    expect(await queueWaitingMails(t.worker)).toBe(1);
    expect(await workOff(t, jobTable(t.worker) as never)).toEqual(['mail.send']);

    refuse = true;
    await expect(sendMails(t.worker, world.practiceA, sender())).rejects.toThrow(/2 mails/);
    expect(await states()).toEqual(['waiting', 'waiting']);
    refuse = false;
    await sendMails(t.worker, world.practiceA, sender());
    await sendMails(t.worker, world.practiceA, sender());
    expect(await states()).toEqual(['sent', 'sent']);
    expect(taken.map((m) => m.to).sort((a, b) => (a < b ? -1 : 1))).toEqual(
      [world.people.sonographer.email, world.people.vetA.email].sort((a, b) => (a < b ? -1 : 1)),
    );
    expect(taken[0]?.subject).toBe('Read now: interim answer on Pébble 🐾, referral 1');
    for (const mail of taken) expect(mail.text).not.toContain('secret words');
  });
});
