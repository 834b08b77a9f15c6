import postgres from 'postgres';
import { KillableSystem } from './killable-system';

/** A running system with the invented demo in it, for programs that look at pages. */
export async function startDemo() {
  const system = new KillableSystem();
  await system.start();
  const { out } = await system.output(['demo', '--json']);
  const { members } = JSON.parse(out) as { members: { email: string; password: string }[] };
  const sql = postgres(system.databaseUrl, { max: 1, onnotice: () => {} });
  const draft = (await sql`select practice_id, id from referrals where state = 'draft'`)[0];
  await sql.end();
  const of = (start: string) => members.find((m) => m.email.startsWith(start))?.email ?? '';
  return {
    url: system.url,
    password: members[0]?.password ?? '',
    vet: of('vet@quill'),
    cardiologist: of('cardiologist'),
    sheet: `/p/${draft?.['practice_id']}/r/${draft?.['id']}`,
    stop: () => system.stop(),
  };
}
