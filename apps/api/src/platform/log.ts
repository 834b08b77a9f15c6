/** Structured log lines; no patient or keeper data goes in. */
export interface Log {
  error(data: object, message: string): void;
  warn(data: object, message: string): void;
  info(data: object, message: string): void;
}

const order = ['silent', 'error', 'warn', 'info', 'debug'] as const;

export function consoleLog(level: (typeof order)[number], name: string): Log {
  const write = (at: (typeof order)[number]) => (data: object, message: string) => {
    if (order.indexOf(at) > order.indexOf(level)) return;
    process.stderr.write(
      `${JSON.stringify({ time: new Date().toISOString(), level: at, name, message, ...describe(data) })}\n`,
    );
  };
  return { error: write('error'), warn: write('warn'), info: write('info') };
}

function describe(data: object): object {
  if ('error' in data && data.error instanceof Error)
    return { ...data, error: data.error.stack ?? data.error.message };
  return data;
}
