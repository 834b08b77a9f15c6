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
      const reply = await fetchPages(url, stop.signal);
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

/** Where nothing answers, it is said in a sentence, not in the browser's own words. */
async function fetchPages(url: string, signal: AbortSignal): Promise<Response> {
  try {
    return await fetch(url, {
      headers: { accept: 'application/json' },
      credentials: 'same-origin',
      signal,
    });
  } catch (error) {
    if (signal.aborted) throw error;
    throw new Error('No connection to Chordae just now: the pages come when it is back.', { cause: error });
  }
}
