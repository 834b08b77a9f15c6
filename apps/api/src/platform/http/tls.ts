import { X509Certificate } from 'node:crypto';
import { chmod, mkdir, readFile, rename, writeFile } from 'node:fs/promises';
import os from 'node:os';
import path from 'node:path';
import { generate } from 'selfsigned';
import type { Config } from '../config/config';

export interface Certificate {
  readonly key: string;
  readonly cert: string;
  /** Set for a certificate that was made here: what a person compares on the device. */
  readonly fingerprint: string | null;
}

const DAY_MS = 86_400_000;
/** Browsers refuse certificates that are valid for longer than 398 days (CA/Browser Forum baseline requirements 6.3.2, from memory). */
const VALID_DAYS = 397;
const RENEW_DAYS = 30;

/** Addresses of this machine on its networks, without loopback and link-local ones. */
export function networkAddresses(): string[] {
  return Object.values(os.networkInterfaces())
    .flatMap((all) => all ?? [])
    .filter((a) => !a.internal && a.family === 'IPv4' && !a.address.startsWith('169.254.'))
    .map((a) => a.address);
}

/**
 * Key and certificate to answer by https: the files that were named, else one made here, kept beside the data (readable
 * by this user only) and made again when it runs out or the machine's addresses have changed.
 */
export async function loadCertificate(
  config: Pick<Config, 'CHORDAE_TLS_KEY' | 'CHORDAE_TLS_CERT' | 'dataFolder'>,
  now: Date,
): Promise<Certificate> {
  const { CHORDAE_TLS_KEY: keyFile, CHORDAE_TLS_CERT: certFile } = config;
  if ((keyFile === undefined) !== (certFile === undefined))
    throw new Error('CHORDAE_TLS_KEY and CHORDAE_TLS_CERT belong together: set both, or neither.');
  if (keyFile !== undefined && certFile !== undefined) {
    const [key, cert] = await Promise.all([readPem(keyFile), readPem(certFile)]);
    return { key, cert, fingerprint: null };
  }
  const folder = path.join(config.dataFolder, 'tls');
  const names = namesOfThisMachine();
  const kept = await keptCertificate(folder, names, now);
  return kept ?? makeCertificate(folder, names, now);
}

async function readPem(file: string): Promise<string> {
  return readFile(file, 'utf8').catch(() => {
    throw new Error(`The file ${file} of the TLS settings cannot be read.`);
  });
}

function namesOfThisMachine(): string[] {
  const host = os.hostname().toLowerCase();
  return [...new Set(['localhost', host, ...(host.includes('.') ? [] : [`${host}.local`])])].concat(
    ['127.0.0.1', ...networkAddresses()].sort(),
  );
}

async function keptCertificate(folder: string, names: string[], now: Date): Promise<Certificate | null> {
  try {
    const [key, cert, listed] = await Promise.all(
      ['key.pem', 'cert.pem', 'names.json'].map((f) => readFile(path.join(folder, f), 'utf8')),
    );
    if (key === undefined || cert === undefined) return null;
    const read = new X509Certificate(cert);
    const fresh = Date.parse(read.validTo) - now.getTime() > RENEW_DAYS * DAY_MS;
    const same = listed === JSON.stringify(names);
    return fresh && same ? { key, cert, fingerprint: read.fingerprint256 } : null;
  } catch {
    return null;
  }
}

async function makeCertificate(folder: string, names: string[], now: Date): Promise<Certificate> {
  const isAddress = (name: string) => /^[\d.]+$/.test(name);
  const made = await generate([{ name: 'commonName', value: 'Chordae on this network' }], {
    keyType: 'ec',
    curve: 'P-256',
    algorithm: 'sha256',
    notBeforeDate: new Date(now.getTime() - DAY_MS),
    notAfterDate: new Date(now.getTime() + (VALID_DAYS - 1) * DAY_MS),
    extensions: [
      { name: 'basicConstraints', cA: false, critical: true },
      { name: 'keyUsage', digitalSignature: true, critical: true },
      { name: 'extKeyUsage', serverAuth: true },
      {
        name: 'subjectAltName',
        altNames: names.map((n) =>
          isAddress(n) ? { type: 7 as const, ip: n } : { type: 2 as const, value: n },
        ),
      },
    ],
  });
  await mkdir(folder, { recursive: true, mode: 0o700 });
  for (const [name, text] of [
    ['key.pem', made.private],
    ['cert.pem', made.cert],
    ['names.json', JSON.stringify(names)],
  ] as const) {
    const part = path.join(folder, `${name}.part`);
    await writeFile(part, text, { mode: 0o600 });
    await chmod(part, 0o600);
    await rename(part, path.join(folder, name));
  }
  return { key: made.private, cert: made.cert, fingerprint: new X509Certificate(made.cert).fingerprint256 };
}
