import type { Block } from '@chordae/report';
import { useEffect, useState } from 'react';
import { sentenceOf } from './api';

/** The blocks of a printed document at an address; what must be saved first is waited for. */
export function usePaper(
  url: string,
  before: () => Promise<unknown> = () => Promise.resolve(),
): { blocks: readonly Block[] | null; problem: string | null } {
  const [blocks, setBlocks] = useState<readonly Block[] | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  useEffect(() => {
    const stop = new AbortController();
    const load = async () => {
      await before();
      const reply = await fetch(url, {
        headers: { accept: 'application/json' },
        credentials: 'same-origin',
        signal: stop.signal,
      });
      const body = (await reply.json()) as { blocks?: Block[]; message?: string };
      if (!reply.ok || !body.blocks) throw new Error(body.message ?? 'The pages could not be made.');
      setBlocks(body.blocks);
    };
    setProblem(null);
    load().catch((error: unknown) => {
      if (!stop.signal.aborted) setProblem(sentenceOf(error));
    });
    return () => stop.abort();
  }, [url]);
  return { blocks, problem };
}
