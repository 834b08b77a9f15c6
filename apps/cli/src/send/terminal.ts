import type { SendOut } from './send';

/** Lines on standard output, complaints on standard error; a moving line only where somebody looks on. */
export function terminal(): SendOut {
  let drawn = 0;
  const clear = () => {
    if (drawn > 0) process.stdout.write(`\r${' '.repeat(drawn)}\r`);
    drawn = 0;
  };
  return {
    env: process.env,
    print(line) {
      clear();
      process.stdout.write(`${line}\n`);
    },
    complain(line) {
      clear();
      process.stderr.write(`${line}\n`);
    },
    draw: process.stdout.isTTY
      ? (line) => {
          clear();
          const short = line.slice(0, (process.stdout.columns ?? 80) - 1);
          process.stdout.write(short);
          drawn = short.length;
        }
      : null,
  };
}
