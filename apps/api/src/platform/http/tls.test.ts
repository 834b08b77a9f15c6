import { X509Certificate } from 'node:crypto';
import { mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import https from 'node:https';
import os from 'node:os';
import path from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { loadCertificate } from './tls';

const folder = mkdtempSync(path.join(os.tmpdir(), 'chordae-tls-'));
const config = { dataFolder: folder, CHORDAE_TLS_KEY: undefined, CHORDAE_TLS_CERT: undefined };
const now = new Date();
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('a certificate of its own making', () => {
  it('serves https that a device which trusts it accepts, by name and by address', async () => {
    const made = await loadCertificate(config, now);
    const server = https.createServer({ key: made.key, cert: made.cert }, (_q, r) => r.end('there'));
    await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
    const { port } = server.address() as { port: number };
    const ask = (host: string, ca: string | undefined) =>
      new Promise<string>((resolve, reject) => {
        const options = { host: '127.0.0.1', port, servername: host === '127.0.0.1' ? '' : host, ca };
        https
          .get(options, (reply) => reply.on('data', (d: Buffer) => resolve(d.toString())))
          .on('error', reject);
      });
    expect(await ask('localhost', made.cert)).toBe('there');
    expect(await ask('127.0.0.1', made.cert)).toBe('there');
    await expect(ask('localhost', undefined)).rejects.toThrow(/self-signed/i);
    server.close();
    const read = new X509Certificate(made.cert);
    expect(read.ca).toBe(false);
    const days = (Date.parse(read.validTo) - Date.parse(read.validFrom)) / 86_400_000;
    expect(days).toBeLessThanOrEqual(398);
    expect(statSync(path.join(folder, 'tls/key.pem')).mode & 0o077).toBe(0);
  });

  it('is kept over a restart, and made again before it runs out or when the addresses have changed', async () => {
    const first = await loadCertificate(config, now);
    expect((await loadCertificate(config, now)).cert).toBe(first.cert);
    const later = await loadCertificate(config, new Date(now.getTime() + 380 * 86_400_000));
    expect(later.fingerprint).not.toBe(first.fingerprint);
    const again = await loadCertificate(config, now);
    writeFileSync(path.join(folder, 'tls/names.json'), '["elsewhere"]');
    expect((await loadCertificate(config, now)).fingerprint).not.toBe(again.fingerprint);
  });

  it('gives way to files that are named, and says what is wrong with them', async () => {
    const key = path.join(folder, 'tls/key.pem');
    const cert = path.join(folder, 'tls/cert.pem');
    const named = { ...config, CHORDAE_TLS_KEY: key, CHORDAE_TLS_CERT: cert };
    expect(await loadCertificate(named, now)).toEqual({
      key: readFileSync(key, 'utf8'),
      cert: readFileSync(cert, 'utf8'),
      fingerprint: null,
    });
    await expect(loadCertificate({ ...config, CHORDAE_TLS_KEY: key }, now)).rejects.toThrow(
      /belong together/,
    );
    await expect(loadCertificate({ ...named, CHORDAE_TLS_CERT: '/no/such.pem' }, now)).rejects.toThrow(
      /cannot be read/,
    );
  });
});
