type Asked = Readonly<Record<string, unknown>>;

/**
 * Questions of one transaction, sent one behind the other without waiting for each answer. All have ended before the first
 * failure is told: none may be left to run on a connection that somebody else has by then. For reading only.
 */
export async function together<A extends Asked>(asked: A): Promise<{ [K in keyof A]: Awaited<A[K]> }> {
  const names = Object.keys(asked);
  const ended = await Promise.allSettled(Object.values(asked));
  const values = ended.map((one) => {
    if (one.status === 'rejected') throw one.reason;
    return one.value;
  });
  return Object.fromEntries(names.map((name, n) => [name, values[n]])) as { [K in keyof A]: Awaited<A[K]> };
}
