/** Waits for a signal, or for the launcher to be gone (killed, it cannot tell its parts), then stops cleanly. */
export function untilStopped(stop: () => Promise<void>): Promise<number> {
  return new Promise((resolve) => {
    let stopping = false;
    const end = () => {
      if (stopping) return;
      stopping = true;
      clearInterval(watch);
      stop().then(
        () => resolve(0),
        () => resolve(1),
      );
    };
    process.on('SIGTERM', end);
    process.on('SIGINT', end);
    const parent = Number(process.env['CHORDAE_PARENT'] ?? 0);
    const watch = setInterval(() => {
      if (parent > 0 && process.ppid !== parent) end();
    }, 1000);
  });
}
