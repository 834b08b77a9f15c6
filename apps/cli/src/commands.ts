import { analyse } from './analyse/analyse';
import { interpretFile } from './interpret/interpret-file';
import { printDemoMembers } from './print-demo';
import { printLimits } from './print-limits';
import { printSchema } from './print-schema';
import { terminal } from './send/terminal';
import { untilStopped } from './until-stopped';

export interface Command {
  readonly says: string;
  readonly run: (args: string[]) => Promise<number>;
}

const api = () => import('@chordae/api/commands');
const print = (line: string) => process.stdout.write(`${line}\n`);

export const commands: Record<string, Command> = {
  serve: {
    says: 'serve [--tls]               API and portal on PORT; --tls: by https, for devices on the same network',
    run: async (args) => {
      const server = await (await api()).runServe({ tls: args.includes('--tls') });
      print(`Chordae is at ${server.url}`);
      for (const at of server.elsewhere) print(`other devices of this network: ${at}`);
      if (server.fingerprint)
        print(
          `The certificate was made here, so a browser warns once. Compare its SHA-256 before you accept it:\n${server.fingerprint}`,
        );
      return untilStopped(() => server.stop());
    },
  },
  worker: {
    says: 'worker                      reads originals, interprets, renders, mails',
    run: async () => {
      const worker = await (await api()).runWorker();
      return untilStopped(() => worker.stop());
    },
  },
  migrate: {
    says: 'migrate [--json] [--quiet]  brings the database up to date',
    run: async (args) => {
      const { applied } = await (await api()).runMigrate();
      if (args.includes('--json')) print(JSON.stringify({ applied }));
      else if (!args.includes('--quiet') || applied.length > 0)
        print(applied.length > 0 ? `migrated: ${applied.join(', ')}` : 'the database is up to date');
      return 0;
    },
  },
  demo: {
    says: 'demo [--if-empty] [--json]  loads the invented demo',
    run: async (args) => {
      const done = await (await api()).runDemo({ ifEmpty: args.includes('--if-empty') });
      if (args.includes('--json')) print(JSON.stringify(done));
      else printDemoMembers(done, print);
      return 0;
    },
  },
  verify: {
    says: 'verify [--json]             checks event seals and stored bytes',
    run: async (args) => {
      const done = await (await api()).runVerify();
      if (args.includes('--json')) print(JSON.stringify(done));
      else
        print(
          `${done.practices} practices, ${done.events} events, ${done.originals} stored files: ${done.broken.length === 0 ? 'all as written' : `\n${done.broken.join('\n')}`}`,
        );
      return done.broken.length === 0 ? 0 : 1;
    },
  },
  analyse: {
    says: 'analyse FILE [--json] [--picture]  says what a file or a folder of files holds; needs no server',
    run: (args) => analyse(args, print, (line) => process.stderr.write(`${line}\n`)),
  },
  send: {
    says: 'send FOLDER --server URL --key-file FILE [--watch] [--referral N]  sends what a machine exports to the open cases',
    run: async (args) => (await import('./send/send')).send(args, terminal()),
  },
  interpret: {
    says: 'interpret FILE [--json] [--trace KEY] [--turns]  computes a referral from a JSON file; needs no server',
    run: (args) => interpretFile(args),
  },
  limits: {
    says: 'limits [--species NAME] [--index CODE] [--json]  every limit with its source and status',
    run: (args) => Promise.resolve(printLimits(args)),
  },
  schema: {
    says: 'schema referral|interpretation  the JSON schema of what interpret reads or writes',
    run: (args) => Promise.resolve(printSchema(args)),
  },
};

export function usage(): string {
  return `chordae <command>\n\n${Object.values(commands)
    .map((c) => `  ${c.says}`)
    .join('\n')}\n`;
}
