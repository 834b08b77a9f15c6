import { uploadFile } from './upload';
import { caseOf, type OpenedReferral, openDraft, PASSWORD, type Session, type World } from './world';

/** A referral of practice A with files, each view named, sent to the group. `vet` may be a page's session. */
export async function sentWithFiles(
  url: string,
  world: World,
  vet: Session,
  files: readonly (readonly [name: string, view: string | null, bytes: Uint8Array])[],
  options: Parameters<typeof openDraft>[3] = {},
): Promise<OpenedReferral> {
  const d = await openDraft(vet, world, world.practiceA, options);
  const uploading = await withCookie(url, world, vet);
  for (const [name, , bytes] of files) await uploadFile(uploading, url, d, name, bytes);
  const until = Date.now() + 120_000;
  while ((await caseOf(vet, d)).clips.length < files.length) {
    if (Date.now() > until) throw new Error('the files were not read in time');
    await new Promise((r) => setTimeout(r, 300));
  }
  for (const clip of (await caseOf(vet, d)).clips) {
    const view = files.find(([name]) => name === clip.fileName)?.[1] ?? null;
    await vet.patch(`/api/practices/${d.practiceId}/clips/${clip.id}`, { view });
    if (clip.mask === 'needs-decision')
      await vet.post(`/api/practices/${d.practiceId}/clips/${clip.id}/mask`, { kind: 'no-name-confirmed' });
  }
  await vet.patch(d.base, { base: 1, fields: { question: 'How far?' } });
  const reply = await vet.post(`${d.base}/send`, { base: 2, identityReason: 'Drawn for a test.' });
  if (reply.status !== 200) throw new Error(reply.raw);
  return d;
}

/** Uploads go by a client of their own, which needs the cookie in words. */
export async function withCookie(url: string, world: World, vet: Session): Promise<Session> {
  const reply = await fetch(`${url}/api/sessions`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ email: world.people.vetA.email, password: PASSWORD }),
  });
  const cookie = reply.headers.getSetCookie().map((c) => c.split(';')[0]);
  return { ...vet, cookie: cookie.join('; ') };
}
