import type { Config } from '../platform/config/config';
export async function loadDemo(_c: Config, _u: string, _o: { ifEmpty: boolean }) {
  return { loaded: false, members: [] as { email: string; password: string; says: string }[] };
}
