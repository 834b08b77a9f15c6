import path from 'node:path';

export interface Asked {
  readonly folder: string;
  readonly server: string;
  readonly key: string;
  readonly watch: boolean;
  readonly quiet: boolean;
  readonly json: boolean;
  /** Send everything to this case, whatever the files say of their patient. */
  readonly referral: number | null;
  /** Where it is kept what has been sent. */
  readonly stateFile: string;
  /** Between two passes over a watched folder. */
  readonly pauseMs: number;
}

const VALUES = new Set(['--server', '--key-file', '--referral', '--state', '--pause']);
const PAUSE_SECONDS = 3;
const FLAGS = new Set(['--watch', '--quiet', '--json']);

/** Reads what was asked; a sentence where it makes no sense. The key is read from a file or CHORDAE_KEY, never from the command line. */
export function readAsked(
  args: readonly string[],
  env: Readonly<Record<string, string | undefined>>,
  readFile: (file: string) => string | null,
): Asked | string {
  const given = new Map<string, string>();
  const places: string[] = [];
  for (let n = 0; n < args.length; n += 1) {
    const arg = args[n] ?? '';
    if (VALUES.has(arg)) {
      const value = args[n + 1];
      if (value === undefined || value.startsWith('--')) return `${arg} needs a value.`;
      given.set(arg, value);
      n += 1;
    } else if (FLAGS.has(arg)) given.set(arg, '');
    else if (arg.startsWith('--')) return `${arg} is not known.`;
    else places.push(arg);
  }
  const [folder] = places;
  if (folder === undefined || places.length > 1) return 'name one folder to send.';
  const server = (given.get('--server') ?? env['CHORDAE_SERVER'] ?? '').replace(/\/+$/, '');
  if (!/^https?:\/\//.test(server))
    return 'name the server: --server https://… or CHORDAE_SERVER in the environment.';
  const keyFile = given.get('--key-file');
  const key = (keyFile ? readFile(keyFile) : env['CHORDAE_KEY'])?.trim() ?? '';
  if (key === '')
    return keyFile
      ? `the key file ${keyFile} cannot be read or is empty.`
      : 'name the file with the key of this machine: --key-file FILE, or CHORDAE_KEY in the environment.';
  const referral = given.get('--referral');
  if (referral !== undefined && !/^[1-9]\d{0,8}$/.test(referral))
    return `--referral: ${referral} is no number of a referral.`;
  const pauseSeconds = Number(given.get('--pause') ?? PAUSE_SECONDS);
  if (!(pauseSeconds >= 0.1 && pauseSeconds <= 3600))
    return '--pause: give the seconds between two looks at the folder, 0.1 to 3600.';
  return {
    pauseMs: pauseSeconds * 1000,
    folder: path.resolve(folder),
    server,
    key,
    watch: given.has('--watch'),
    quiet: given.has('--quiet'),
    json: given.has('--json'),
    referral: referral === undefined ? null : Number(referral),
    stateFile: given.get('--state') ?? path.join(path.resolve(folder), '.chordae-sent.json'),
  };
}
