/** The demo's members: invented, and said so. */
export function printDemoMembers(
  done: { loaded: boolean; members: { email: string; password: string; says: string }[] },
  print: (line: string) => void,
): void {
  if (done.members.length === 0) return;
  print(
    done.loaded
      ? 'Demo loaded: every name, clinic and animal in it is invented.'
      : 'Demo members (invented):',
  );
  for (const m of done.members) print(`  ${m.email.padEnd(34)} ${m.password.padEnd(22)} ${m.says}`);
}
