import type { Difference, Interpretation } from '@chordae/contract';

/** What is compared of an answer. */
export type Compared = Pick<Interpretation, 'indices' | 'flags' | 'stages' | 'urgencyProposed'>;

function positions(before: Compared, after: Compared): Difference[] {
  const now = new Map(after.indices.map((i) => [i.code, i]));
  const out: Difference[] = [];
  for (const was of before.indices) {
    const is = now.get(was.code);
    if (!is) continue;
    if (is.position !== was.position)
      out.push({ kind: 'position', index: was.code, from: was.position, to: is.position });
    const scales = new Set([...was.grades, ...is.grades].map((g) => g.scale));
    for (const scale of scales) {
      const from = was.grades.find((g) => g.scale === scale)?.code ?? null;
      const to = is.grades.find((g) => g.scale === scale)?.code ?? null;
      if (from !== to) out.push({ kind: 'grade', index: was.code, scale, from, to });
    }
  }
  return out;
}

function stages(before: Compared, after: Compared): Difference[] {
  const codes = (of: Compared, scheme: string): string[] =>
    of.stages.filter((s) => s.scheme === scheme).map((s) => s.code);
  const schemes = new Set([...before.stages, ...after.stages].map((s) => s.scheme));
  return [...schemes].flatMap((scheme) => {
    const from = codes(before, scheme);
    const to = codes(after, scheme);
    return from.join() === to.join() ? [] : [{ kind: 'stage' as const, scheme, from, to }];
  });
}

function flags(before: Compared, after: Compared): Difference[] {
  const id = (f: Interpretation['flags'][number]): string => `${f.key}|${f.code}`;
  const was = new Set(before.flags.map(id));
  const is = new Set(after.flags.map(id));
  return [
    ...after.flags
      .filter((f) => !was.has(id(f)))
      .map((f) => ({ kind: 'flag' as const, code: f.code, key: f.key, change: 'appears' as const })),
    ...before.flags
      .filter((f) => !is.has(id(f)))
      .map((f) => ({ kind: 'flag' as const, code: f.code, key: f.key, change: 'goes' as const })),
  ];
}

/** What two interpretations of one case say differently: urgency first, then stages, positions and grades, flags. */
export function differences(before: Compared, after: Compared): Difference[] {
  const urgency: Difference[] =
    before.urgencyProposed === after.urgencyProposed
      ? []
      : [{ kind: 'urgency', from: before.urgencyProposed, to: after.urgencyProposed }];
  return [...urgency, ...stages(before, after), ...positions(before, after), ...flags(before, after)];
}
