#!/usr/bin/env node
import { commands, usage } from './commands';

/** `chordae <command> [arguments]`; exit code 0 done, 1 failed, 2 asked wrongly. */
async function main(): Promise<number> {
  const [name, ...args] = process.argv.slice(2);
  if (!name || name === 'help' || name === '--help') {
    process.stdout.write(usage());
    return name ? 0 : 2;
  }
  const command = commands[name];
  if (!command) {
    process.stderr.write(`chordae: there is no command "${name}".\n${usage()}`);
    return 2;
  }
  return command.run(args);
}

// A reader that has seen enough (`| head`) closes the pipe: that is no failure.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code !== 'EPIPE') throw error;
  process.exit(0);
});

main().then(
  (code) => {
    process.exitCode = code;
  },
  (error: unknown) => {
    process.stderr.write(`chordae: ${error instanceof Error ? error.message : String(error)}\n`);
    process.exitCode = 1;
  },
);
